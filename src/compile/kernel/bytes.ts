/** Bytes that grow: the bottom layer of the encoder. */
export class Bytes {
  private readonly list: number[] = [];

  /** Number of bytes so far. */
  get length(): number {
    return this.list.length;
  }

  /** One byte, 0 to 255. */
  byte(value: number): this {
    this.list.push(value);
    return this;
  }

  /** Bytes as they are. */
  raw(values: ArrayLike<number>): this {
    const { list } = this;
    for (let i = 0; i < values.length; i++) list.push(values[i]!);
    return this;
  }

  /** An unsigned integer below 2^32 in LEB128. */
  unsigned(value: number): this {
    let left = value >>> 0;
    while (left > 0x7f) {
      this.list.push((left & 0x7f) | 0x80);
      left >>>= 7;
    }
    this.list.push(left);
    return this;
  }

  /** A signed 32-bit integer in LEB128. */
  signed(value: number): this {
    let left = value | 0;
    while (left > 63 || left < -64) {
      this.list.push((left & 0x7f) | 0x80);
      left >>= 7;
    }
    this.list.push(left & 0x7f);
    return this;
  }

  /** A double, little-endian. */
  double(value: number): this {
    const bytes = new Uint8Array(8);
    new DataView(bytes.buffer).setFloat64(0, value, true);
    return this.raw(bytes);
  }

  /** A length in bytes, then the bytes. */
  sized(content: Bytes): this {
    return this.unsigned(content.length).raw(content.list);
  }

  /** A name: its length, then its letters; ASCII only. */
  name(text: string): this {
    this.unsigned(text.length);
    for (let i = 0; i < text.length; i++) this.list.push(text.charCodeAt(i));
    return this;
  }

  /** The bytes of others. */
  append(content: Bytes): this {
    return this.raw(content.list);
  }

  /** The bytes written so far. */
  taken(): Uint8Array {
    return Uint8Array.from(this.list);
  }
}
