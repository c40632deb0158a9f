import { type LensView, lensView, type Vector3 } from "./lens-view.ts";

/*
 * Where everything stands. Camera A looks at the miller from the front; camera B, with a lens about two steps
 * longer, 34 degrees further round on the same side of the line, on a short slider.
 */

export const cameraAPosition: Vector3 = [0, 1.2, 2.42];
const cameraAAim: Vector3 = [-0.19, 0.985, 0];
const cameraAFocalMm = 52;

const cameraBAngle = (34 * Math.PI) / 180;
const cameraBDistance = 2.3;
export const cameraBPosition: Vector3 = [
  Math.sin(cameraBAngle) * cameraBDistance,
  1.27,
  Math.cos(cameraBAngle) * cameraBDistance,
];
const cameraBRight: Vector3 = [Math.cos(cameraBAngle), 0, -Math.sin(cameraBAngle)];
const cameraBFocalMm = 88;
const cameraBAim: Vector3 = [-0.07 * cameraBRight[0], 1.135, -0.07 * cameraBRight[2]];

/** Half the slider's travel, metres. */
export const sliderHalfMetres = 0.12;

/** Camera A's view of the loft. */
export function viewOfCameraA(width: number, height: number): LensView {
  return lensView(cameraAPosition, cameraAAim, cameraAFocalMm, width, height);
}

/**
 * Camera B's view.
 *
 * @param slide - Where the carriage is, metres right of the middle; the head is panned so that she stays in frame.
 */
export function viewOfCameraB(width: number, height: number, slide = 0): LensView {
  const position: Vector3 = [
    cameraBPosition[0] + slide * cameraBRight[0],
    cameraBPosition[1],
    cameraBPosition[2] + slide * cameraBRight[2],
  ];
  return lensView(position, cameraBAim, cameraBFocalMm, width, height);
}
