/** The part of the package pako (zlib in JavaScript) that unpacks piece by piece; its output can be stopped by throwing in onData. */
declare module "pako" {
  interface Inflate {
    onData: (chunk: Uint8Array) => void;
    /** 0 where all went well; else `msg` says what did not. */
    readonly err: number;
    readonly msg: string;
    push(data: Uint8Array, last: boolean): boolean;
  }
  const pako: { readonly Inflate: new (options?: { readonly chunkSize?: number }) => Inflate };
  export default pako;
}
