import { expect, test } from "vitest";
import { streamEvents } from "../../web/event-stream.ts";

function body(...chunks: readonly Uint8Array[]): ReadableStream<Uint8Array> {
  return new ReadableStream({
    start(controller) {
      for (const chunk of chunks) controller.enqueue(chunk);
      controller.close();
    },
  });
}

async function read(text: string, size: number): Promise<readonly (readonly [string, string])[]> {
  const bytes = new TextEncoder().encode(text);
  const chunks = Array.from({ length: Math.ceil(bytes.length / size) }, (_, i) =>
    bytes.slice(i * size, (i + 1) * size),
  );
  const found: (readonly [string, string])[] = [];
  for await (const { name, data } of streamEvents(body(...chunks))) found.push([name, data]);
  return found;
}

const text =
  ': hello\n\nevent: progress\ndata: {"done":1}\nid: 4\n\ndata: one\ndata: two ü\n\nevent: result\r\ndata:{"ü":1}\r\n\r\n';

test.each([1, 2, 7, 1000])("events are whole however the bytes arrive, %i at a time", async (size) => {
  expect(await read(text, size)).toEqual([
    ["progress", '{"done":1}'],
    ["message", "one\ntwo ü"],
    ["result", '{"ü":1}'],
  ]);
});

test("what the stream breaks off in the middle of is no event", async () => {
  expect(await read("event: result\ndata: half", 5)).toEqual([]);
});
