/** The one thing of the platform that the library uses: the encoder of the WHATWG Encoding Standard. */
declare class TextEncoder {
  encode(text: string): Uint8Array
}
