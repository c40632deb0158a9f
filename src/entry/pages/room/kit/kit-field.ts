/** One thing that can be typed of a piece of kit. */
export type KitField<T> = { readonly label: string } & (
  | {
      readonly kind: "figure";
      readonly unit: string;
      readonly digits?: number;
      /** What bounds it. */
      readonly bounds: (thing: T) => readonly [number, number];
      /** null: not said. */
      readonly get: (thing: T) => number | null;
      readonly set: (thing: T, value: number) => T;
    }
  | {
      readonly kind: "length";
      readonly bounds: (thing: T) => readonly [number, number];
      readonly get: (thing: T) => number | null;
      readonly set: (thing: T, metres: number) => T;
    }
  | {
      readonly kind: "list";
      readonly unit: string;
      readonly bounds: readonly [number, number];
      readonly get: (thing: T) => readonly number[];
      readonly set: (thing: T, values: number[]) => T;
    }
  | {
      readonly kind: "choice";
      readonly options: readonly (readonly [string, string])[];
      readonly get: (thing: T) => string;
      readonly set: (thing: T, value: string) => T;
    }
);

/** A figure in its own unit, which may be unsaid. */
export const figure = <T>(
  label: string,
  unit: string,
  bounds: readonly [number, number],
  get: (thing: T) => number | undefined,
  set: (value: number, thing: T) => Partial<T>,
  digits = 0,
): KitField<T> => ({
  kind: "figure",
  label,
  unit,
  digits,
  bounds: () => bounds,
  get: (thing) => get(thing) ?? null,
  set: (thing, value) => ({ ...thing, ...set(value, thing) }),
});

/** A length, metres; typed in any unit. */
export const length = <T>(
  label: string,
  bounds: readonly [number, number],
  get: (thing: T) => number,
  set: (metres: number, thing: T) => Partial<T>,
): KitField<T> => ({
  kind: "length",
  label,
  bounds: () => bounds,
  get,
  set: (thing, metres) => ({ ...thing, ...set(metres, thing) }),
});

/** One of a few. */
export const choice = <T>(
  label: string,
  options: readonly (readonly [string, string])[],
  get: (thing: T) => string,
  set: (value: string, thing: T) => Partial<T>,
): KitField<T> => ({
  kind: "choice",
  label,
  options,
  get,
  set: (thing, value) => ({ ...thing, ...set(value, thing) }),
});

/** What it weighs, kilograms. */
export const weight = <T extends { weightKg?: number | undefined }>(): KitField<T> =>
  figure<T>(
    "Weighs",
    "kg",
    [0, 500],
    (t) => t.weightKg,
    (weightKg) => ({ weightKg }) as Partial<T>,
    2,
  );

/** How many of it there are. */
export const counted = <T extends { count: number }>(): KitField<T> =>
  figure<T>(
    "How many",
    "",
    [1, 99],
    (t) => t.count,
    (n) => ({ count: Math.round(n) }) as Partial<T>,
  );
