/**
 * How much of a tone's level air takes over a distance, decibels a metre.
 *
 * @param hertz - Pure tone.
 * @param celsius - -20 to 50.
 * @param humidityPercent - Relative humidity, 10 to 100.
 * @param kilopascal - Air pressure.
 *
 * Source: ISO 9613-1:1993, equations 3 to 5 and B.3 (molar concentration of water vapour).
 */
export function airAbsorption(
  hertz: number,
  celsius: number,
  humidityPercent: number,
  kilopascal = 101.325,
): number {
  const T = celsius + 273.15;
  const ratio = T / 293.15;
  const pressure = kilopascal / 101.325;
  const saturation = 10 ** (-6.8346 * (273.16 / T) ** 1.261 + 4.6151);
  const h = (humidityPercent * saturation) / pressure;
  const oxygen = pressure * (24 + (4.04e4 * h * (0.02 + h)) / (0.391 + h));
  const nitrogen = pressure * ratio ** -0.5 * (9 + 280 * h * Math.exp(-4.17 * (ratio ** (-1 / 3) - 1)));
  return (
    8.686 *
    hertz ** 2 *
    ((1.84e-11 / pressure) * Math.sqrt(ratio) +
      ratio ** -2.5 *
        ((0.01275 * Math.exp(-2239.1 / T)) / (oxygen + hertz ** 2 / oxygen) +
          (0.1068 * Math.exp(-3352 / T)) / (nitrogen + hertz ** 2 / nitrogen)))
  );
}
