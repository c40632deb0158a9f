import { extname } from "node:path";

/** Endings that recordings commonly have; anything else on a card is copied and verified but not opened as media. */
const endings = new Set(
  ".mov .mp4 .m4v .mxf .mts .m2ts .avi .mkv .webm .3gp .mpg .wav .wave .bwf .rf64 .w64 .aif .aiff .flac .m4a .aac .mp3 .opus .ogg .caf".split(
    " ",
  ),
);

export const isMediaName = (path: string): boolean => endings.has(extname(path).toLowerCase());
