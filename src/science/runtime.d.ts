/**
 * What every JavaScript runtime has but the ES2023 library does not declare.
 * The layers below `outside` see this and nothing of Node's or the browser's.
 */
interface AbortSignal {
  readonly aborted: boolean;
  readonly reason: unknown;
  throwIfAborted(): void;
}
declare class TextEncoder {
  encode(text?: string): Uint8Array<ArrayBuffer>;
}
declare class TextDecoder {
  constructor(label?: string, options?: { fatal?: boolean });
  decode(bytes?: ArrayBufferView | ArrayBuffer): string;
}
