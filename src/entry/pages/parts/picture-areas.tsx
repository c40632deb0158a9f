import type { ReactNode } from "react";

/** Places in a picture, outlined over it; lies in an element of the picture's own shape. */
export function PictureAreas({
  size: { width, height },
  areas,
}: {
  /** Of the picture as displayed, pixels: what the areas lie in. */
  readonly size: { readonly width: number; readonly height: number };
  readonly areas: readonly (readonly (readonly [number, number])[])[];
}): ReactNode {
  return (
    <svg viewBox={`0 0 ${width} ${height}`} preserveAspectRatio="xMidYMid slice" aria-hidden="true">
      {areas.map((area) => {
        const points = area.map((corner) => corner.join(",")).join(" ");
        return (
          <g key={points}>
            <polygon points={points} className="under" />
            <polygon points={points} />
          </g>
        );
      })}
    </svg>
  );
}
