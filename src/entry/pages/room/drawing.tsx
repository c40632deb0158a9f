import type { ReactNode } from "react";

/** A drawing that a chapter made as SVG; every name in it is escaped there. */
export function Drawing({
  svg,
  className,
}: {
  readonly svg: string;
  readonly className?: string;
}): ReactNode {
  // biome-ignore lint/security/noDangerouslySetInnerHtml: our own drawing, and no text of others unescaped
  return <div className={className} dangerouslySetInnerHTML={{ __html: svg }} />;
}
