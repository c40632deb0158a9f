/**
 * Every code an `ExplainedError` may carry, and whose move it is: `input` means the file or the call
 * has to change (exit 2), `ours` means a fault of this program or machine (exit 3).
 */
export const errorCodes = {
  // calls
  USAGE: "input",
  NOTHING_TO_DO: "input",
  // files and media
  FILE_MISSING: "input",
  FILE_NOT_READABLE: "input",
  FOLDER_EMPTY: "input",
  FOLDER_NOT_EMPTY: "input",
  MEDIA_NOT_RECOGNISED: "input",
  MEDIA_NO_INDEX: "input",
  MEDIA_CAMERA_RAW: "input",
  MEDIA_NO_SOUND: "input",
  MEDIA_NO_PICTURE: "input",
  MEDIA_DECODE_FAILED: "input",
  MEDIA_TOO_SLOW: "input",
  MEDIA_ENCODE_FAILED: "ours",
  // disks and copies
  DISK_FULL: "input",
  DISK_WRITE_FAILED: "input",
  COPY_CHECKSUM_MISMATCH: "input",
  COPY_INTERRUPTED: "input",
  COPY_PLACE_INSIDE_SOURCE: "input",
  COPY_DIFFERENT_FILE_THERE: "input",
  HASH_NOT_READABLE: "input",
  MANIFEST_INVALID: "input",
  MANIFEST_CHANGED: "input",
  // documents
  DOCUMENT_NOT_JSON: "input",
  DOCUMENT_INVALID: "input",
  DOCUMENT_FROM_THE_FUTURE: "input",
  DOCUMENT_BUSY: "input",
  PLAN_CONTRADICTS: "input",
  // pages
  DRAFT_UNKNOWN: "input",
  UPLOAD_INTERRUPTED: "input",
  // numbers and formats
  TIMECODE_NOT_A_FRAME: "input",
  TIMECODE_RATE_UNSUPPORTED: "input",
  SOUND_RATE_UNSUPPORTED: "input",
  SOUND_CHANNELS_UNEQUAL: "input",
  SOUND_TOO_SHORT: "input",
  LUT_INVALID: "input",
  TRANSCRIPT_INVALID: "input",
  PICTURE_INVALID: "input",
  CURVE_UNKNOWN: "input",
  COLOUR_FIT_UNDERDETERMINED: "input",
  // work
  CANCELLED: "input",
  WORKER_DIED: "ours",
  INTERNAL: "ours",
} as const satisfies Record<string, "input" | "ours">;

export type ErrorCode = keyof typeof errorCodes;
