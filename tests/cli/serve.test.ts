import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { describe, expect, test } from "vitest";
import { runCommand } from "./run-command.ts";

describe("serving from the command line", () => {
  test("start answers the demo, then says where the page is", async () => {
    const { code, out } = await runCommand("start", "--port", "0");
    expect(code).toBe(0);
    expect(out).toMatch(
      /^harbour-base [\s\S]*Is it worth it\?[\s\S]*\nSteelyard listens on http:\/\/127\.0\.0\.1:\d+\/\n$/,
    );
  });

  test("start --no-serve only answers", async () => {
    const { code, out, err } = await runCommand("start", "--no-serve");
    expect({ code, err }).toEqual({ code: 0, err: "" });
    expect(out).toContain("Is it worth it?");
    expect(out).not.toContain("listens");
  });

  test("serve says where it listens and logs to standard error", async () => {
    const { code, out, err } = await runCommand("serve", "--port", "0");
    expect(code).toBe(0);
    expect(out).toMatch(/^Steelyard listens on http:\/\/127\.0\.0\.1:\d+\/\n$/);
    const events = err
      .trim()
      .split("\n")
      .map((line) => JSON.parse(line).event);
    expect(events).toEqual(["listening", "stopped"]);
  });

  test("a port that is taken ends with one sentence, before anything is computed", async () => {
    const other = createServer().listen(0, "127.0.0.1");
    await new Promise((resolve) => other.once("listening", resolve));
    const port = String((other.address() as AddressInfo).port);
    for (const command of ["serve", "start"]) {
      const { code, out, err } = await runCommand(command, "--port", port);
      expect({ code, out }).toEqual({ code: 1, out: "" });
      expect(err).toBe(
        `port ${port} of 127.0.0.1 is taken; choose another with --port, or --port 0 for any free one\n`,
      );
    }
    other.close();
  });

  test.each([
    [["serve", "--port", "many"], 2],
    [["serve", "--port", "70000"], 2],
    [["serve", "--port", "-1"], 2],
    [["serve", "--root", "no-such-folder"], 1],
    [["serve", "--host", "192.0.2.1", "--port", "0"], 1],
    [["start", "--port", ""], 2],
  ])("%j ends with code %i", async (argv, code) => {
    const run = await runCommand(...argv);
    expect({ code: run.code, out: run.out }).toEqual({ code, out: "" });
    expect(run.err).not.toBe("");
  });
});
