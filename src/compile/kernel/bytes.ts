/** Bytes that grow: the bottom layer of the encoder. */
export class Bytes {
  private buffer = new Uint8Array(1024);
  private view = new DataView(this.buffer.buffer);
  private size = 0;

  /** Number of bytes so far. */
  get length(): number {
    return this.size;
  }

  private room(count: number): void {
    if (this.size + count <= this.buffer.length) return;
    const larger = new Uint8Array(Math.max(this.buffer.length * 2, this.size + count));
    larger.set(this.buffer.subarray(0, this.size));
    this.buffer = larger;
    this.view = new DataView(larger.buffer);
  }

  /** One byte, 0 to 255. */
  byte(value: number): this {
    this.room(1);
    this.buffer[this.size++] = value;
    return this;
  }

  /** Bytes as they are. */
  raw(values: ArrayLike<number>): this {
    this.room(values.length);
    this.buffer.set(values, this.size);
    this.size += values.length;
    return this;
  }

  /** An unsigned integer below 2^32 in LEB128. */
  unsigned(value: number): this {
    let left = value >>> 0;
    do {
      const low = left & 0x7f;
      left >>>= 7;
      this.byte(left === 0 ? low : low | 0x80);
    } while (left !== 0);
    return this;
  }

  /** A signed 32-bit integer in LEB128. */
  signed(value: number): this {
    let left = value | 0;
    for (;;) {
      const low = left & 0x7f;
      left >>= 7;
      const done = (left === 0 && (low & 0x40) === 0) || (left === -1 && (low & 0x40) !== 0);
      this.byte(done ? low : low | 0x80);
      if (done) return this;
    }
  }

  /** A double, little-endian. */
  double(value: number): this {
    this.room(8);
    this.view.setFloat64(this.size, value, true);
    this.size += 8;
    return this;
  }

  /** A length in bytes, then the bytes. */
  sized(content: Bytes): this {
    return this.unsigned(content.length).raw(content.taken());
  }

  /** A name: its length, then its letters; ASCII only. */
  name(text: string): this {
    return this.unsigned(text.length).raw(Uint8Array.from(text, (char) => char.charCodeAt(0)));
  }

  /** The bytes written so far. */
  taken(): Uint8Array {
    return this.buffer.subarray(0, this.size);
  }
}
