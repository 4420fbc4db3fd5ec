/** One event of a stream: its name and its data. */
export interface StreamEvent {
  readonly name: string;
  readonly data: string;
}

/**
 * The events of a server-sent stream, one by one as they arrive; comments and ids are passed over.
 * Source: WHATWG HTML, server-sent events, parsing an event stream.
 */
export async function* streamEvents(body: ReadableStream<Uint8Array>): AsyncGenerator<StreamEvent> {
  const reader = body.getReader();
  const decoder = new TextDecoder();
  let rest = "";
  try {
    for (;;) {
      const { done, value } = await reader.read();
      rest = (rest + (done ? decoder.decode() : decoder.decode(value, { stream: true }))).replace(/\r\n/g, "\n");
      const blocks = rest.split("\n\n");
      rest = blocks.pop() ?? "";
      for (const block of blocks) {
        const event = eventOf(block);
        if (event !== null) yield event;
      }
      if (done) return;
    }
  } finally {
    await reader.cancel().catch(() => undefined);
  }
}

/** The event that a block of lines holds; null where it holds none. */
function eventOf(block: string): StreamEvent | null {
  let name = "message";
  const data: string[] = [];
  for (const line of block.split("\n")) {
    const colon = line.indexOf(":");
    if (colon === 0) continue;
    const field = colon < 0 ? line : line.slice(0, colon);
    const value = colon < 0 ? "" : line.slice(colon + 1).replace(/^ /, "");
    if (field === "event") name = value;
    if (field === "data") data.push(value);
  }
  return data.length === 0 ? null : { name, data: data.join("\n") };
}
