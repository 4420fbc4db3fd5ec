import { Argument, Command, CommanderError, InvalidArgumentError, Option } from "commander";
import { type Finding, findingText, InputError } from "../errors.ts";
import { help, lead, rest } from "../host/run-thread.ts";
import { stopSignal } from "../host/stop-signal.ts";
import { type QuestionId, questions } from "../report/result.ts";
import { ListenError } from "../server/listen-error.ts";
import { version } from "../version.ts";
import { ask, check, list, run, schema } from "./commands.ts";
import type { Io } from "./io.ts";
import { jurisdictions } from "./jurisdictions.ts";
import { usualAddress } from "./usual-address.ts";

/**
 * Exit codes: 0 done, 1 the input holds mistakes or the port cannot be had, 2 the command's words are off, 70 a mistake of
 * ours or a thread that was lost.
 */
const codes = { done: 0, input: 1, usage: 2, bug: 70 } as const;

/** What threads do, by the names under which they are asked for it. */
export const threadTasks = { help, lead, rest };

/** Runs one command line; returns the exit code and never exits by itself. */
export async function main(argv: readonly string[], io: Io): Promise<number> {
  const wantsJson = argv.includes("--json");
  const program = commandLine(io);
  try {
    await program.parseAsync([...argv], { from: "user" });
    return codes.done;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? codes.done : codes.usage;
    if (error instanceof InputError) {
      io.err(errorText(error.findings, wantsJson));
      return error.findings.some(({ code }) => code === "worker-lost") ? codes.bug : codes.input;
    }
    if (error instanceof ListenError) {
      io.err(`${error.message}\n`);
      return codes.input;
    }
    const detail = error instanceof Error ? (error.stack ?? error.message) : String(error);
    io.err(
      wantsJson
        ? `${JSON.stringify([{ code: "bug", message: detail }])}\n`
        : `a mistake in Steelyard itself:\n${detail}\n`,
    );
    return codes.bug;
  }
}

function errorText(findings: readonly Finding[], json: boolean): string {
  if (!json) return findings.map((found) => `${findingText(found)}\n`).join("");
  return `${JSON.stringify(
    findings.map(({ code, file, line, column, path, message, hint }) => ({
      code,
      file,
      line,
      column,
      path,
      message,
      hint,
    })),
    null,
    2,
  )}\n`;
}

function commandLine(io: Io): Command {
  const program = new Command("steelyard")
    .description("What care pathways cost and yield, which price holds and how sure that is, from scenario files")
    .version(version)
    .exitOverride()
    .configureOutput({ writeOut: (text) => io.out(text), writeErr: (text) => io.err(text) });
  const files = (command: Command): Command =>
    command
      .option("--root <folder>", "case root; the nearest folder upwards with models/ unless given")
      .option("--json", "one JSON document on standard output, errors as JSON on standard error");

  const runs = (command: Command): Command =>
    files(command)
      .option("--draws <count>", "number of draws; 0 for the base case alone", wholeNumber)
      .option("--seed <seed>", "words or a number that fix the draws")
      .addOption(new Option("--design <design>", "how draws are laid out").choices(["plain", "stratified", "quasi"]))
      .option("--csv <file>", "write draws and outcomes to a file, for a run with draws")
      .option("--threads <count>", "threads that share the draws; as many as pay unless given", threadCount)
      .option("--stamp", "add the time of making");

  files(program.command("check"))
    .description("check scenarios and their models; all mistakes at once, each at its place")
    .argument("<file...>", "scenario files, or ids of scenarios below the root")
    .option("--structure", "print the expanded structure")
    .option("--inputs", "print every input value with its distribution and source")
    .action((paths: string[], options) => check(paths, options, io));
  runs(program.command("run"))
    .description("answer all questions of a scenario")
    .argument("<file>", "scenario file, or the id of a scenario below the root")
    .option("--trace", "add who is where at each boundary (with --json)")
    .action((path: string, options) => run(path, options, io));
  runs(program.command("ask"))
    .description("answer one question of a scenario")
    .addArgument(new Argument("<question>", "the question").choices(questions.map(({ id }) => id)))
    .argument("<file>", "scenario file, or the id of a scenario below the root")
    .action((question: QuestionId, path: string, options) => ask(question, path, options, io));
  files(program.command("list"))
    .description("list the scenarios of a case")
    .action((options) => list(options.root ?? ".", options, io));
  files(program.command("jurisdictions"))
    .description("list the discount rates and thresholds that a scenario can name, with what is from memory")
    .action((options) => jurisdictions(options, io));
  program
    .command("schema")
    .description("print the JSON Schema of model or scenario files, for editors")
    .addArgument(new Argument("<kind>", "kind of file").choices(["model", "scenario"]))
    .action((kind: "model" | "scenario") => schema(kind, io));
  // the server is loaded by those who serve
  const port = (command: Command): Command =>
    command.option("--port <number>", "port; 0 takes a free one", portNumber, usualAddress.port);
  port(program.command("serve"))
    .description("serve the page and the interface for programs, until Ctrl-C")
    .option("--host <address>", "address to listen on; others than this machine's own let others in", usualAddress.host)
    .option("--root <folder>", "case root, a folder with models/", ".")
    .action(async (options) => (await import("./serve.ts")).serve(options, io));
  port(program.command("start"))
    .description("answer the demo scenario, then serve the page")
    .option("--no-serve", "only answer")
    .action(async (options) => (await import("./start.ts")).startDemo(options, io));
  return program;
}

const mostDraws = 10_000_000;

function wholeNumber(text: string): number {
  const value = Number(text);
  if (/^\d+$/.test(text) && value <= mostDraws && value !== 1) return value;
  throw new InvalidArgumentError(`Give 0, or a whole number from 2 to ${mostDraws}.`);
}

const mostThreads = 64;

function threadCount(text: string): number {
  const value = Number(text);
  if (/^\d+$/.test(text) && value >= 1 && value <= mostThreads) return value;
  throw new InvalidArgumentError(`Give a whole number from 1 to ${mostThreads}.`);
}

function portNumber(text: string): number {
  if (/^\d{1,5}$/.test(text) && Number(text) <= 65_535) return Number(text);
  throw new InvalidArgumentError("Give a port from 0 to 65535.");
}

/** Entry of the program: runs the process's command line and sets its exit code. */
export async function start(): Promise<void> {
  const io: Io = {
    out: (text) => process.stdout.write(text),
    err: (text) => process.stderr.write(text),
    progress: progressLine(process.stderr),
    now: () => new Date().toISOString(),
    stop: stopSignal,
  };
  const argv = process.argv.slice(2);
  const isServer = argv[0] === "serve" || argv[0] === "start";
  process.stdout.on("error", (error: NodeJS.ErrnoException) => {
    // a reader that closes early, as `head` does, is no mistake; but nobody would know where a server listens
    if (error.code === "EPIPE" && !isServer) process.exit(codes.done);
    process.stderr.write(
      `standard output is closed (${error.code ?? error.message}); nothing more can be said there\n`,
    );
    process.exit(codes.input);
  });
  // a log that nobody reads is no reason to stop
  process.stderr.on("error", () => {});
  process.exitCode = await main(argv, io);
}

/** Writes one line that is overwritten, on terminals only. */
function progressLine(stream: NodeJS.WriteStream): Io["progress"] {
  if (!stream.isTTY) return () => {};
  return ({ done, total }) => {
    const filled = Math.round((20 * done) / total);
    stream.write(
      done >= total ? "\r\u001b[K" : `\r[${"#".repeat(filled)}${".".repeat(20 - filled)}] ${done} of ${total} draws`,
    );
  };
}
