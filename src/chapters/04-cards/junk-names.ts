// Common practice: what desktop systems leave on every card they touch; no camera or recorder writes these names.
const junk: readonly RegExp[] = [
  /^\.DS_Store$/,
  /^\._/,
  /^\.(Spotlight-V100|Trashes|fseventsd|TemporaryItems|DocumentRevisions-V100|apdisk|VolumeIcon\.icns)$/i,
  /^\.Trash-\d+$/,
  /^(Thumbs\.db|desktop\.ini|System Volume Information|\$RECYCLE\.BIN)$/i,
];

/** Whether a file or folder of this name was put on a card by a desktop system rather than by a device. */
export function isJunkName(name: string): boolean {
  return junk.some((pattern) => pattern.test(name));
}
