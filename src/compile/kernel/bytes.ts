/** Bytes that grow: the bottom layer of the encoder. What is appended is only copied at the end, once. */
export class Bytes {
  private readonly parts: (readonly number[] | Bytes)[] = [];
  private last: number[] = [];
  private appended = 0;
  private scratch: DataView | undefined;

  /** Number of bytes so far. */
  get length(): number {
    return this.appended + this.last.length;
  }

  /** One byte, 0 to 255. */
  byte(value: number): this {
    this.last.push(value);
    return this;
  }

  /** A few bytes as they are. */
  raw(values: ArrayLike<number>): this {
    for (let i = 0; i < values.length; i++) this.last.push(values[i]!);
    return this;
  }

  /** An unsigned integer below 2^32 in LEB128. */
  unsigned(value: number): this {
    let left = value >>> 0;
    while (left > 0x7f) {
      this.last.push((left & 0x7f) | 0x80);
      left >>>= 7;
    }
    this.last.push(left);
    return this;
  }

  /** A signed 32-bit integer in LEB128. */
  signed(value: number): this {
    let left = value | 0;
    while (left > 63 || left < -64) {
      this.last.push((left & 0x7f) | 0x80);
      left >>= 7;
    }
    this.last.push(left & 0x7f);
    return this;
  }

  /** A double, little-endian. */
  double(value: number): this {
    this.scratch ??= new DataView(new ArrayBuffer(8));
    this.scratch.setFloat64(0, value, true);
    for (let i = 0; i < 8; i++) this.last.push(this.scratch.getUint8(i));
    return this;
  }

  /** All bytes of others, to which nothing may be added afterwards. */
  append(content: Bytes): this {
    this.parts.push(this.last, content);
    this.appended += this.last.length + content.length;
    this.last = [];
    return this;
  }

  /** A length in bytes, then the bytes. */
  sized(content: Bytes): this {
    return this.unsigned(content.length).append(content);
  }

  /** A name: its length, then its letters; ASCII only. */
  name(text: string): this {
    this.unsigned(text.length);
    for (let i = 0; i < text.length; i++) this.last.push(text.charCodeAt(i));
    return this;
  }

  /** The bytes written so far. */
  taken(): Uint8Array {
    const bytes = new Uint8Array(this.length);
    this.write(bytes, 0);
    return bytes;
  }

  private write(bytes: Uint8Array, from: number): number {
    let at = from;
    for (const part of this.parts) {
      if (part instanceof Bytes) at = part.write(bytes, at);
      else {
        bytes.set(part, at);
        at += part.length;
      }
    }
    bytes.set(this.last, at);
    return at + this.last.length;
  }
}
