import type { EvidenceField } from "../evidence-fields.ts";

/** A slider for a value without spread, from nothing to twice what the scenario says; nothing where that has no sense. */
export function FieldSlider({
  field,
  name,
  present,
  onChange,
}: {
  readonly field: EvidenceField;
  readonly name: string;
  /** What stands in the field now. */
  readonly present: string;
  readonly onChange: (text: string) => void;
}) {
  const original = Number(field.text);
  if (field.label !== "value" || !(original > 0)) return null;
  const isNumber = present.trim() !== "" && Number.isFinite(Number(present));
  const step = 10 ** Math.floor(Math.log10(original) - 2);
  return (
    <input
      class="field-slider"
      type="range"
      aria-label={`${name}, slider`}
      min={0}
      max={2 * original}
      step={step}
      value={isNumber ? Number(present) : original}
      onInput={(event) => onChange(event.currentTarget.value)}
    />
  );
}
