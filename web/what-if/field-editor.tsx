import type { Finding } from "../../src/errors.ts";
import type { EvidenceField } from "../evidence-fields.ts";

/** One number or word of evidence: its name, its unit, and why it was refused. */
export function FieldEditor({
  id,
  field,
  name,
  was,
  findings,
  isAlone,
  onChange,
}: {
  readonly id: string;
  readonly field: EvidenceField;
  /** The field's full name for readers of the screen. */
  readonly name: string;
  /** What the scenario says. */
  readonly was: string;
  readonly findings: readonly Finding[];
  /** True where the field needs no label of its own. */
  readonly isAlone: boolean;
  readonly onChange: (text: string) => void;
}) {
  const isChanged = field.text !== was;
  const noteId = `${id}-note`;
  return (
    <div class={isAlone ? "field field-alone" : "field"}>
      <label for={id}>
        {isAlone && field.label === "value" ? null : <span class="field-label">{field.label}</span>}
        <span class="unseen">{name}</span>
      </label>
      <span class="field-box">
        <input
          id={id}
          type="text"
          autocomplete="off"
          spellcheck={false}
          value={field.text}
          class={isChanged ? "changed" : undefined}
          aria-invalid={findings.length > 0}
          aria-describedby={findings.length > 0 || isChanged ? noteId : undefined}
          onInput={(event) => onChange(event.currentTarget.value)}
        />
        {field.unit === "" ? null : <span class="field-unit">{field.unit}</span>}
      </span>
      {findings.length > 0 || isChanged ? (
        <span id={noteId} class="field-note">
          {isChanged ? <span class="field-was">was {was}</span> : null}
          {findings.map(({ message, hint }) => (
            <span key={message} class="refusal">
              {message}; {hint}
            </span>
          ))}
        </span>
      ) : null}
    </div>
  );
}
