/** Speed of sound in dry air, metres a second: 331.3·√(1 + t/273.15), t in degrees Celsius. */
export const speedOfSound = (celsius: number): number => 331.3 * Math.sqrt(1 + celsius / 273.15);
