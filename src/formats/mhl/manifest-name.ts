/**
 * The file name of a generation: `0001_A002R2EC_2020-01-16_091500Z.mhl`.
 *
 * @param number - From 1.
 * @param folderName - Name of the folder that holds the `ascmhl` folder.
 * @param startedAt - When the operation began; written in UTC.
 *
 * @remarks Source: ASC MHL Specification v1.0 (2022), file names of manifests.
 */
export function manifestName(number: number, folderName: string, startedAt: Date): string {
  const [date, time] = startedAt.toISOString().split("T") as [string, string];
  return `${String(number).padStart(4, "0")}_${folderName}_${date}_${time.slice(0, 8).replaceAll(":", "")}Z.mhl`;
}
