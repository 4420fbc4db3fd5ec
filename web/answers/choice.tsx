import { useId } from "preact/hooks";

/** One of a few views, as a group of radio buttons in a row. */
export function Choice<T extends string>({
  label,
  options,
  chosen,
  onChoose,
}: {
  readonly label: string;
  readonly options: readonly { readonly id: T; readonly label: string }[];
  readonly chosen: T;
  readonly onChoose: (id: T) => void;
}) {
  const name = useId();
  return (
    <fieldset class="choice">
      <legend class="unseen">{label}</legend>
      {options.map(({ id, label: text }) => (
        <label key={id}>
          <input type="radio" name={name} checked={id === chosen} onChange={() => onChoose(id)} />
          <span>{text}</span>
        </label>
      ))}
    </fieldset>
  );
}
