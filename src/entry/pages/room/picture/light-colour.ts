/**
 * The colour of a black body beside another, linear RGB of ITU-R BT.709, of luminance 1: a light keeps its lux
 * whatever its colour.
 *
 * Source: Kim et al. (2002), cubic approximations of the Planckian locus, 1667 to 25 000 K; from memory. The white that the
 * camera is balanced for is divided out in RGB, which is near enough for a picture.
 *
 * @param kelvin - Of the light.
 * @param white - That the camera is balanced for.
 */
export function lightColour(kelvin: number, white: number): [number, number, number] {
  const [own, balanced] = [planckian(kelvin), planckian(white)];
  const raw = own.map((part, i) => Math.max(0.02, part) / Math.max(0.02, balanced[i]!));
  const luminance = 0.2126 * raw[0]! + 0.7152 * raw[1]! + 0.0722 * raw[2]!;
  return raw.map((part) => part / luminance) as [number, number, number];
}

function planckian(kelvin: number): [number, number, number] {
  const t = Math.max(1700, Math.min(20_000, kelvin));
  const x =
    t <= 4000
      ? -0.2661239e9 / t ** 3 - 0.2343589e6 / t ** 2 + 0.8776956e3 / t + 0.17991
      : -3.0258469e9 / t ** 3 + 2.1070379e6 / t ** 2 + 0.2226347e3 / t + 0.24039;
  const y =
    t <= 2222
      ? -1.1063814 * x ** 3 - 1.3481102 * x ** 2 + 2.18555832 * x - 0.20219683
      : t <= 4000
        ? -0.9549476 * x ** 3 - 1.37418593 * x ** 2 + 2.09137015 * x - 0.16748867
        : 3.081758 * x ** 3 - 5.8733867 * x ** 2 + 3.75112997 * x - 0.37001483;
  const [X, Y, Z] = [x / y, 1, (1 - x - y) / y];
  return [
    3.2404542 * X - 1.5371385 * Y - 0.4985314 * Z,
    -0.969266 * X + 1.8760108 * Y + 0.041556 * Z,
    0.0556434 * X - 0.2040259 * Y + 1.0572252 * Z,
  ];
}
