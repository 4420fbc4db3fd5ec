import type { ResultDocument } from "../../src/report/result.ts";
import { Compared } from "../answers/compared.tsx";
import { Costs } from "../answers/costs.tsx";
import { Sure } from "../answers/sure.tsx";
import { Works } from "../answers/works.tsx";
import { Worth } from "../answers/worth.tsx";
import { Lead } from "./lead.tsx";

/** One column of answers, the main one in short above them. */
export function Answers({ document }: { readonly document: ResultDocument }) {
  return (
    <>
      <Lead document={document} />
      <Compared document={document} />
      <Works document={document} />
      <Costs document={document} />
      <Worth document={document} />
      <Sure document={document} />
    </>
  );
}
