import { Hono } from "hono";
import { questions, type ResultDocument } from "../../report/result.ts";
import { answered } from "../answered.ts";
import type { ServerParts } from "../parts.ts";
import { Refusal } from "../problem.ts";
import type { RunDesk } from "../run-desk.ts";

/** `POST /questions/{question}`: one answer with the document's head. */
export function questionRoutes(parts: ServerParts, desk: RunDesk): Hono {
  return new Hono().post("/questions/:question", (c) => {
    const asked = c.req.param("question");
    if (!questions.some(({ id }) => id === asked)) {
      const known = questions.map(({ id }) => id).join(", ");
      throw new Refusal("unknown", `no question ${asked.slice(0, 40)}; the questions are ${known}`);
    }
    return answered(c, desk, parts, (document) => oneAnswer(document, asked));
  });
}

function oneAnswer({ meta, answers }: ResultDocument, question: string): unknown {
  const answer = new Map<string, unknown>(Object.entries(answers)).get(question);
  if (answer === undefined) throw new Refusal("not-answered", `${question} is not answered without draws; give draws`);
  return { meta, answers: { [question]: answer } };
}
