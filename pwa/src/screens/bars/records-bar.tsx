import { useApp } from "../../view/context";
import { I } from "../../view/icons";

/** What the laptop’s records lack of what it confirmed; at the laptop itself, what its copies lack too. */
export function RecordsBar({ desk }: { desk: boolean }) {
  const { sentence, copies } = useApp().laptopRecords.value;
  const said = desk ? [sentence, copies].filter(Boolean) : [sentence].filter(Boolean);
  if (said.length === 0) return null;
  return (
    <div class="problem-box" role="alert" data-part="records">
      <I name="warning" />
      {said.map((words) => (
        <p key={words}>{words}</p>
      ))}
    </div>
  );
}
