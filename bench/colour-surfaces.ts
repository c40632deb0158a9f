/** A surface that is not on the chart. */
export interface Surface {
  readonly kind: "skin" | "cloth" | "foliage" | "things";
  readonly reflectance: Float64Array;
}

/*
 * Invented smooth spectra, built of published shapes:
 * - skin: melanin's absorption falls as the wavelength to the power -3.33, oxygenated blood's has bands about 415, 542
 *   and 577 nm (Jacques 1998, "Skin Optics", Oregon Medical Laser Center News), over a scattering ground;
 * - foliage: chlorophyll a and b absorb about 430, 453, 642 and 662 nm, carotenoids about 450 and 480 nm, and
 *   reflectance rises steeply past 690 nm (Lichtenthaler 1987, Methods Enzymol. 148, 350-382);
 * - cloth: dyes as absorption bands on white yarn by the theory of Kubelka & Munk 1931, Z. Tech. Phys. 12, 593-601;
 * - things: paint, wood, brick as a few slow cosines, the shapes that most natural reflectances are made of
 *   (Parkkinen, Hallikainen & Jaaskelainen 1989, J. Opt. Soc. Am. A 6(2) 318-322), held to 0.02..0.9.
 */

/** 40 of each kind, 400 to 700 nm as asked. */
export function smoothSurfaces(nm: ArrayLike<number>, draw = 0): Surface[] {
  let state = 20_231 + 104_729 * draw;
  const chance = (): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
  const between = (low: number, high: number): number => low + (high - low) * chance();
  const spectrum = (f: (x: number) => number): Float64Array => Float64Array.from(nm, f);
  const bell = (x: number, middle: number, width: number): number =>
    Math.exp(-0.5 * ((x - middle) / width) ** 2);
  /** Reflectance of an opaque layer by its absorption over its scattering. */
  const kubelkaMunk = (ks: number): number => 1 + ks - Math.sqrt(ks * ks + 2 * ks);
  const makers: Record<Surface["kind"], () => Float64Array> = {
    skin: () => {
      const melanin = 2 ** between(-4, 0.8);
      const blood = between(0.15, 0.6);
      const ground = between(0.02, 0.06);
      return spectrum((x) => {
        const bands = 3.2 * bell(x, 415, 14) + 0.42 * bell(x, 542, 13) + 0.45 * bell(x, 577, 9) + 0.06;
        const ks = ground + 0.55 * melanin * (x / 500) ** -3.33 + 0.35 * blood * bands * (x < 600 ? 1 : 0.7);
        return 0.95 * kubelkaMunk(ks * 0.6);
      });
    },
    foliage: () => {
      const green = between(0.6, 3);
      const yellow = between(0.2, 1.6);
      const ground = between(0.1, 0.5);
      return spectrum((x) => {
        const chlorophyll =
          bell(x, 430, 18) +
          0.7 * bell(x, 453, 16) +
          0.28 * bell(x, 642, 18) +
          0.85 * bell(x, 664, 15) +
          0.16;
        const carotenoid = 0.8 * bell(x, 450, 22) + 0.6 * bell(x, 482, 16);
        const edge = 1 / (1 + Math.exp((x - 692) / 9));
        return kubelkaMunk(ground + edge * 3 * green * chlorophyll + 2 * yellow * carotenoid);
      });
    },
    cloth: () => {
      const dyes = Array.from({ length: 1 + Math.floor(chance() * 3) }, () => ({
        middle: between(410, 680),
        width: between(35, 80),
        strength: 2 ** between(-2.5, 1.5),
      }));
      const ground = between(0.02, 0.4);
      return spectrum((x) =>
        kubelkaMunk(
          ground +
            dyes.reduce((sum, { middle, width, strength }) => sum + strength * bell(x, middle, width), 0),
        ),
      );
    },
    things: () => {
      const level = between(-1.6, 1.2);
      const waves = [1, 2, 3].map((k) => between(-1.6, 1.6) / k);
      return spectrum((x) => {
        const t = (Math.PI * (x - 400)) / 300;
        const z = level + waves.reduce((sum, w, k) => sum + w * Math.cos((k + 1) * t), 0);
        return 0.02 + 0.88 / (1 + Math.exp(-z));
      });
    },
  };
  return (["skin", "cloth", "foliage", "things"] as const).flatMap((kind) =>
    Array.from({ length: 40 }, () => ({ kind, reflectance: makers[kind]() })),
  );
}
