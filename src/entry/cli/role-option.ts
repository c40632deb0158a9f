import { type ChannelRole, channelRoleSchema } from "#documents/recording";
import { type CommandSpec, usageError } from "./command.ts";

export interface SaidRole {
  readonly path: string;
  readonly channel: number;
  readonly role: ChannelRole;
}

/** Reads `FILE:CHANNEL=ROLE`. */
export function readRoles(spec: CommandSpec, words: readonly string[]): SaidRole[] {
  return words.map((word) => {
    const match = /^(.+):(\d+)=([a-z]+)$/.exec(word);
    const role = channelRoleSchema.safeParse(match?.[3]);
    if (!match || !role.success || Number(match[2]) < 1)
      throw usageError(
        spec,
        `--role ${word} is not FILE:CHANNEL=ROLE with a role of ${channelRoleSchema.options.join(", ")}.`,
      );
    return { path: match[1]!, channel: Number(match[2]), role: role.data };
  });
}
