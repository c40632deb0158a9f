import type { RoomPictureAnswer } from "#documents/routes";
import { refusalOf } from "./ask.ts";

/**
 * Sends a rendered picture of the plan to the sitting. It counts only once it is said.
 *
 * @param picture - A PNG.
 * @throws Refused where it is none; TypeError where the server cannot be reached.
 */
export async function bringRoomPicture(picture: Blob): Promise<RoomPictureAnswer> {
  const answer = await fetch("api/room-pictures", {
    method: "POST",
    headers: { accept: "application/json", "content-type": "application/octet-stream" },
    body: picture,
  });
  if (!answer.ok) throw await refusalOf(answer);
  return (await answer.json()) as RoomPictureAnswer;
}
