import { sha256 } from "@noble/hashes/sha2.js";
import { bytesToHex, utf8ToBytes } from "@noble/hashes/utils.js";

/**
 * SHA-256 of a text (as UTF-8) or of bytes, in lower-case hexadecimal.
 * Source: FIPS 180-4.
 * @example digest("abc").slice(0, 8) // "ba7816bf"
 */
export function digest(content: string | Uint8Array): string {
  return bytesToHex(sha256(typeof content === "string" ? utf8ToBytes(content) : content));
}
