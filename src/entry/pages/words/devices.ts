/** The hue's class of a device: cameras A and B own the only two; everything else is ink. */
export function hue(device: string): "a" | "b" | "n" {
  return device === "A" ? "a" : device === "B" ? "b" : "n";
}

/** A device as people say it. */
export function deviceName(device: string): string {
  return /^[A-Z]$/.test(device)
    ? `Camera ${device}`
    : device.replace(/^sound(\d*)$/, (_, n) => `Recorder${n ? ` ${n}` : ""}`);
}
