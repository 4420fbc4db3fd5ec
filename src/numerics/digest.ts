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

/** The same of bytes that come piece by piece. */
export class Digester {
  private readonly hash = sha256.create();

  /** Adds bytes. */
  add(bytes: Uint8Array): void {
    this.hash.update(bytes);
  }

  /** The digest of all bytes; none may follow. */
  digest(): string {
    return bytesToHex(this.hash.digest());
  }
}
