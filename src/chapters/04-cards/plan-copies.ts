/** One folder or file that a person named as a card, or as part of one. */
export interface CardEntry {
  readonly device: string;
  /** Its own name: that of the folder, or of the file. */
  readonly name: string;
  readonly files: readonly {
    /** Absolute. */
    readonly source: string;
    /** From the entry, `/` between names. */
    readonly onCard: string;
    readonly bytes: number;
    readonly modifiedMs: number;
  }[];
}

/** Where one file goes. */
export interface PlannedCopy {
  readonly device: string;
  readonly source: string;
  /** Place-relative, `/` between names: `<device>/<path on card>`. The same in every place. */
  readonly to: string;
  readonly bytes: number;
  readonly modifiedMs: number;
}

/**
 * Gives every file of every card its name in the copies: `<device>/<path on card>`.
 *
 * Where two cards of one device carry the same path, the whole later card goes into a folder of its own name, so that
 * what lies together on a card stays together; `-2`, `-3` is added where that is taken too. Names count as the same
 * regardless of case and of composed accents, since many drives do not tell those apart.
 *
 * The plan depends on the order of the cards alone, so that the same call makes the same names again.
 *
 * @param reserved - Names that earlier copies hold, as in `to`.
 *
 * @remarks
 * A folder named `ascmhl`, a history that was on the card, is copied as `ascmhl-from-card`: the copies carry a history
 * of their own under that name. A source that is named twice is taken once.
 */
export function planCopies(cards: readonly CardEntry[], reserved: Iterable<string> = []): PlannedCopy[] {
  const taken = new Set<string>();
  const folders = new Set<string>();
  const take = (to: string): void => {
    const key = sameName(to);
    taken.add(key);
    for (let at = key.lastIndexOf("/"); at > 0; at = key.lastIndexOf("/", at - 1))
      folders.add(key.slice(0, at));
  };
  const isFree = (to: string): boolean => {
    const key = sameName(to);
    if (taken.has(key) || folders.has(key)) return false;
    for (let at = key.lastIndexOf("/"); at > 0; at = key.lastIndexOf("/", at - 1))
      if (taken.has(key.slice(0, at))) return false;
    return true;
  };
  for (const name of reserved) take(name);

  const seen = new Set<string>();
  const planned: PlannedCopy[] = [];
  for (const { device, name, files } of cards) {
    const fresh = files.filter(({ source }) => !seen.has(source) && seen.add(source));
    const base = deviceFolder(device);
    let prefix = base;
    for (let number = 1; !fresh.every(({ onCard }) => isFree(`${prefix}/${copyName(onCard)}`)); number++) {
      prefix = `${base}/${copyName(name)}${number === 1 ? "" : `-${number}`}`;
    }
    for (const { source, onCard, bytes, modifiedMs } of fresh) {
      const to = `${prefix}/${copyName(onCard)}`;
      take(to);
      planned.push({ device, source, to, bytes, modifiedMs });
    }
  }
  return planned;
}

/** The name of a device's folder in the copies: its own name, made fit to be one. */
export function deviceFolder(device: string): string {
  const name = device.replace(/[/\\:*?"<>|\p{Cc}]/gu, "-").replace(/^\.+|[. ]+$/g, "");
  return name === "" || /^ascmhl$/i.test(name) ? `device-${name}` : name;
}

function copyName(onCard: string): string {
  return onCard
    .split("/")
    .map((name) => (/^ascmhl$/i.test(name) ? "ascmhl-from-card" : name))
    .join("/");
}

function sameName(path: string): string {
  return path.normalize("NFC").toLowerCase();
}
