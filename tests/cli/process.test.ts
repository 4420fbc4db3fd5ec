import { type ChildProcess, execFileSync, spawn, spawnSync } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, utimesSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, test } from "vitest";

const project = fileURLToPath(new URL("../../", import.meta.url));
let built: string;

// built afresh and elsewhere, so that what is tested is what the sources say
beforeAll(() => {
  built = mkdtempSync(join(tmpdir(), "steelyard-built-"));
  symlinkSync(join(project, "node_modules"), join(built, "node_modules"));
  for (const name of [
    "models",
    "scenarios",
    "package.json",
    "src/cli/engine-settings.mjs",
    "src/cli/steelyard.mjs",
    "src/cli/warm-up.mjs",
    "src/host/program.cjs",
  ])
    cpSync(join(project, name), join(built, name), { recursive: true });
  const bundler = join(project, "node_modules/vite/bin/vite.js");
  const build = ["build", "--config", join(project, "src/cli/vite.config.ts"), "--outDir", join(built, "dist")];
  execFileSync(process.execPath, [bundler, ...build, "--logLevel", "warn"]);
});

afterAll(() => rmSync(built, { recursive: true }));

interface Program {
  readonly child: ChildProcess;
  readonly said: { out: string; err: string };
  readonly ended: Promise<number | string | null>;
}

function started(...argv: readonly string[]): Program {
  const child = spawn(process.execPath, [join(built, "src/cli/steelyard.mjs"), ...argv], { cwd: project });
  const said = { out: "", err: "" };
  child.stdout.on("data", (text) => {
    said.out += text;
  });
  child.stderr.on("data", (text) => {
    said.err += text;
  });
  const ended = new Promise<number | string | null>((resolve) => {
    child.on("close", (code, signal) => resolve(code ?? signal));
  });
  return { child, said, ended };
}

const address = async ({ said }: Program): Promise<string> => {
  for (let i = 0; i < 600; i++) {
    const found = /Steelyard listens on (\S+)/.exec(said.out)?.[1];
    if (found !== undefined) return found;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error(`no address in: ${said.out}${said.err}`);
};

test("the code that set-up keeps is used, until there is another build, and changes no word", () => {
  const node = (...args: readonly string[]): string =>
    execFileSync(process.execPath, args, { cwd: built, encoding: "utf8" });
  const look =
    "import('./src/cli/engine-settings.mjs').then(() => console.log(require('./src/host/program.cjs').isWarm))";
  const isWarm = (): string => node("-e", look);
  const ask = (): string => node("src/cli/steelyard.mjs", "ask", "worth", "scenarios/harbour/base.scenario.yaml");
  expect(isWarm()).toBe("false\n");
  const cold = ask();
  expect(node("src/cli/warm-up.mjs")).toBe("");
  expect(isWarm()).toBe("true\n");
  expect(ask()).toBe(cold);
  const main = join(built, "dist/cli/main.cjs");
  utimesSync(main, new Date(), new Date());
  expect(isWarm()).toBe("false\n");
  expect(ask()).toBe(cold);
  // a demo with a mistake in it keeps nobody from setting up
  const demo = join(built, "scenarios/harbour/base.scenario.yaml");
  const text = readFileSync(demo, "utf8");
  writeFileSync(demo, text.replace("scenario:", "scenery:"));
  expect(node("src/cli/warm-up.mjs")).toBe("");
  expect(isWarm()).toBe("false\n");
  writeFileSync(demo, text);
});

describe("the program as it is started", () => {
  test.each(["SIGINT", "SIGTERM"] as const)("serves until %s, then ends cleanly", async (signal) => {
    const program = started("start", "--port", "0");
    const url = await address(program);
    expect((await fetch(`${url}api/health`)).status).toBe(200);
    program.child.kill(signal);
    expect(await program.ended).toBe(0);
    expect(JSON.parse(program.said.err.trim().split("\n").at(-1)!)).toMatchObject({ event: "stopped" });
  });

  test("ends at once when asked twice", async () => {
    const program = started("serve", "--port", "0");
    const url = await address(program);
    const body = JSON.stringify({ scenario: "harbour-base", draws: 100_000 });
    void fetch(`${url}api/runs`, { method: "POST", headers: { "content-type": "application/json" }, body }).catch(
      () => {},
    );
    await new Promise((resolve) => setTimeout(resolve, 200));
    program.child.kill("SIGINT");
    await new Promise((resolve) => setTimeout(resolve, 100));
    program.child.kill("SIGINT");
    expect([0, "SIGINT"]).toContain(await program.ended);
  });

  test("says so when its port is taken", async () => {
    const first = started("serve", "--port", "0");
    const { port } = new URL(await address(first));
    const second = started("serve", "--port", port);
    expect(await second.ended).toBe(1);
    expect(second.said).toEqual({
      out: "",
      err: `port ${port} of 127.0.0.1 is taken; choose another with --port, or --port 0 for any free one\n`,
    });
    first.child.kill("SIGTERM");
    expect(await first.ended).toBe(0);
  });

  test("says so when nobody reads its standard output any more, and ends", async () => {
    const program = started("start", "--port", "0");
    program.child.stdout!.destroy();
    expect(await program.ended).toBe(1);
    expect(program.said.err).toContain("standard output is closed (EPIPE)");
  });

  test("goes on serving when nobody reads its log any more", async () => {
    const program = started("serve", "--port", "0");
    const url = await address(program);
    program.child.stderr!.destroy();
    for (let i = 0; i < 3; i++) expect((await fetch(`${url}api/health`)).status).toBe(200);
    program.child.kill("SIGTERM");
    expect(await program.ended).toBe(0);
  });

  test("a command other than a server takes a closed standard output as enough", async () => {
    const program = started("list");
    program.child.stdout!.destroy();
    expect(await program.ended).toBe(0);
    expect(program.said.err).toBe("");
  });
});

describe("how soon a command answers", () => {
  /** Runs a command; what it said, the processor time in seconds, and the parts of Node that it loaded. */
  function measured(...argv: readonly string[]): { readonly out: string; cpu: number; loaded: readonly string[] } {
    const report = `process.on("exit", () => process.stderr.write(
      JSON.stringify({ ...process.cpuUsage(), loaded: process.moduleLoadList })))`;
    const noted = ["--import", `data:text/javascript,${encodeURIComponent(report)}`];
    const program = [join(built, "src/cli/steelyard.mjs"), ...argv];
    const done = spawnSync(process.execPath, [...noted, ...program], { cwd: project, encoding: "utf8" });
    expect(done.status).toBe(0);
    const { user, system, loaded } = JSON.parse(done.stderr);
    return { out: done.stdout, cpu: (user + system) / 1e6, loaded };
  }

  test("one that serves nothing loads neither a server nor threads", () => {
    const { out, loaded } = measured("list");
    expect(out).toContain("scenarios/harbour/base.scenario.yaml");
    expect(loaded).toContain("NativeModule fs");
    expect(loaded.filter((name) => /NativeModule (http|http2|worker_threads|internal.*undici)$/.test(name))).toEqual(
      [],
    );
  });

  // at rest 0.3 s and 1.2 s here, most of it the base case; three times as much where others want the machine too
  test("the demo is answered from cold in a few seconds of processor time, and a list in less", () => {
    const { out, cpu } = measured("ask", "worth", "scenarios/harbour/base.scenario.yaml");
    expect(out).toContain("Full incremental analysis");
    expect(cpu).toBeLessThan(5);
    expect(measured("list").cpu).toBeLessThan(1.5);
  });
});
