import type { Finding } from "../../src/errors.ts";
import type { EvidenceField, Written } from "../evidence-fields.ts";
import { FieldSlider } from "./field-slider.tsx";

/** One number or word of evidence: its name, its unit, and why it was refused. */
export function FieldEditor({
  id,
  field,
  name,
  written,
  findings,
  isAlone,
  onChange,
}: {
  readonly id: string;
  readonly field: EvidenceField;
  /** The field's full name for readers of the screen. */
  readonly name: string;
  /** What stands in it now. */
  readonly written: Written;
  readonly findings: readonly Finding[];
  /** True where the field needs no label of its own. */
  readonly isAlone: boolean;
  readonly onChange: (text: string) => void;
}) {
  const was = field.text;
  const isChanged = written.text !== was;
  const hasNote = findings.length > 0 || (isChanged && !isAlone);
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
          value={written.text}
          class={isChanged ? "changed" : undefined}
          aria-invalid={findings.length > 0}
          aria-describedby={hasNote ? noteId : undefined}
          onInput={(event) => onChange(event.currentTarget.value)}
        />
        {written.unit === "" ? null : <span class="field-unit">{written.unit}</span>}
        {isAlone && isChanged ? <span class="field-unit">was {was}</span> : null}
      </span>
      {isAlone ? <FieldSlider field={field} name={name} present={written.text} onChange={onChange} /> : null}
      {hasNote ? (
        <span id={noteId} class="field-note">
          {isChanged && !isAlone ? <span class="field-was">was {was}</span> : null}
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
