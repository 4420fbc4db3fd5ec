import type { Register, RegisterInput } from "../../src/report/register.ts";
import { withEdit, withoutEdit } from "../edits.ts";
import {
  type EvidenceField,
  type EvidenceText,
  evidenceFields,
  weightFields,
  withField,
  writtenIn,
} from "../evidence-fields.ts";
import { unpin } from "../pins.ts";
import { findingsOfField, findingsOfInput } from "../refusals.ts";
import { edits, refusals } from "../workbench.ts";
import { FieldEditor } from "./field-editor.tsx";
import { SourceLine } from "./source-line.tsx";

/** One input with its evidence to edit, its source, and what the last run found wrong with it. */
export function InputEditor({
  input,
  strategies,
}: {
  readonly input: RegisterInput;
  readonly strategies: Register["strategies"];
}) {
  const original = input.evidence as EvidenceText;
  const edited = edits.value[input.name];
  const evidence = edited ?? original;
  const isWeights = input.declaration === null;
  const fields = isWeights ? weightFields(original) : evidenceFields(original);
  const root = `${isWeights ? "alternatives" : "inputs"}.${input.name}`;
  const beside = fields.map(({ path }) => findingsOfField(refusals.value, root, path));
  const shown = new Set(beside.flat());
  const others = findingsOfInput(refusals.value, root).filter((found) => !shown.has(found));
  const change = (field: EvidenceField, text: string): void => {
    edits.value = withEdit(edits.value, input.name, withField(evidence, field, text), original);
  };
  return (
    <fieldset id={`input-${input.name}`} class={edited === undefined ? "input-editor" : "input-editor changed"}>
      <legend>
        {input.label}
        {input.unit === "" ? null : <span class="input-unit">, {input.unit}</span>}
      </legend>
      {cellsOf(fields).map(({ key, cell, own }) => (
        <div key={key} class="input-cell">
          {cell.length === 0 ? null : <p class="cell-name">{cellText(cell, strategies)}</p>}
          <div class="fields">
            {own.map((place) => {
              const field = fields[place]!;
              return (
                <FieldEditor
                  key={field.path.join(".")}
                  id={`${root}.${field.path.join(".")}`}
                  field={field}
                  name={[input.label, cellText(cell, strategies), field.label].filter((part) => part !== "").join(", ")}
                  written={writtenIn(evidence, field)}
                  findings={beside[place]!}
                  isAlone={fields.length === 1 || own.length === 1}
                  onChange={(text) => change(field, text)}
                />
              );
            })}
          </div>
          <SourceLine evidence={evidence} path={own.length === 0 ? [] : fields[own[0]!]!.path} />
        </div>
      ))}
      {fields.length === 0 ? <SourceLine evidence={evidence} path={[]} /> : null}
      {others.map(({ message, hint }) => (
        <p key={message} class="refusal">
          {message}; {hint}
        </p>
      ))}
      <p class="input-actions">
        {edited === undefined ? null : (
          <button
            type="button"
            class="quiet"
            onClick={() => {
              edits.value = withoutEdit(edits.value, input.name);
            }}
          >
            Reset<span class="unseen"> {input.label}</span>
          </button>
        )}
        <button type="button" class="quiet" onClick={() => unpin(input.name)}>
          Unpin<span class="unseen"> {input.label}</span>
        </button>
      </p>
    </fieldset>
  );
}

interface Cell {
  readonly key: string;
  readonly cell: readonly string[];
  /** Places of its fields among all of the input. */
  readonly own: readonly number[];
}

function cellsOf(fields: readonly EvidenceField[]): readonly Cell[] {
  const keys = [...new Set(fields.map(({ cell }) => cell.join(".")))];
  return keys.map((key) => {
    const own = fields.flatMap(({ cell }, place) => (cell.join(".") === key ? [place] : []));
    return { key, cell: fields[own[0]!]!.cell, own };
  });
}

function cellText(cell: readonly string[], strategies: Register["strategies"]): string {
  return cell.map((id) => strategies.find((one) => one.id === id)?.label ?? id.replaceAll("_", " ")).join(", ");
}
