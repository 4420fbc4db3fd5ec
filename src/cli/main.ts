import { Argument, Command, CommanderError } from "commander";
import { type Finding, findingText, InputError } from "../errors.ts";
import { type QuestionId, questions } from "../report/result.ts";
import { version } from "../version.ts";
import { ask, check, list, run, schema } from "./commands.ts";
import type { Io } from "./io.ts";
import { startDemo } from "./start.ts";

/** Exit codes: 0 done, 1 the input holds mistakes, 2 the command's words are off, 70 a mistake of ours. */
const codes = { done: 0, input: 1, usage: 2, bug: 70 } as const;

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

  files(program.command("check"))
    .description("check scenarios and their models; all mistakes at once, each at its place")
    .argument("<file...>", "scenario files")
    .option("--structure", "print the expanded structure")
    .action((paths: string[], options) => check(paths, options, io));
  files(program.command("run"))
    .description("answer all questions of a scenario")
    .argument("<file>", "scenario file")
    .option("--trace", "add who is where at each boundary (with --json)")
    .option("--stamp", "add the time of making")
    .action((path: string, options) => run(path, options, io));
  files(program.command("ask"))
    .description("answer one question of a scenario")
    .addArgument(new Argument("<question>", "the question").choices(questions.map(({ id }) => id)))
    .argument("<file>", "scenario file")
    .option("--stamp", "add the time of making")
    .action((question: QuestionId, path: string, options) => ask(question, path, options, io));
  files(program.command("list"))
    .description("list the scenarios of a case")
    .action((options) => list(options.root ?? ".", options, io));
  program
    .command("schema")
    .description("print the JSON Schema of model or scenario files, for editors")
    .addArgument(new Argument("<kind>", "kind of file").choices(["model", "scenario"]))
    .action((kind: "model" | "scenario") => schema(kind, io));
  program
    .command("start")
    .description("answer the demo scenario")
    .action(() => startDemo(io));
  return program;
}

/** Entry of the program: runs the process's command line and sets its exit code. */
export async function start(): Promise<void> {
  const io: Io = {
    out: (text) => process.stdout.write(text),
    err: (text) => process.stderr.write(text),
    now: () => new Date().toISOString(),
  };
  process.stdout.on("error", (error: NodeJS.ErrnoException) => {
    // a reader that closes early, as `head` does, is no mistake
    if (error.code === "EPIPE") process.exit(codes.done);
    throw error;
  });
  process.exitCode = await main(process.argv.slice(2), io);
}
