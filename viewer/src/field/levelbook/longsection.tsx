// The bed drawn while it is levelled.

import { useMemo, useState } from "preact/hooks";
import type { Types } from "../../compute/types/index.ts";
import type { Section, SectionPair } from "../../section/section.ts";
import { useField } from "../context/field.ts";
import { Choice } from "../../ui/choice.tsx";
import { Caution } from "../../ui/panel.tsx";
import type { Book } from "../../survey/levelbook/book.ts";
import type { Levels } from "../../survey/levelbook/levels.ts";
import { BedLevels } from "../../section/bedlevels.tsx";
import { Drawing } from "../../item/fitted.tsx";
import { askForSteps, beds, sectionOf, stepsOf } from "../../survey/levelbook/section.ts";
import { upGully } from "../../survey/levelbook/chainage.ts";
import { ownNameOf } from "../../base/names.ts";
import { useSection } from "../../item/usesheet.ts";
import { withPad } from "../../survey/levelbook/write.ts";
import { useAsking } from "../../ui/hooks.ts";

type DamCheck = Types["dam-check"];
type BedOf = Types["long-section"];

export function LongSection({ book, levels }: { book: Book; levels: Levels | null }) {
  const field = useField();
  const rows = withPad(book);
  const all = beds(rows);
  const [picked, setPicked] = useState<string | undefined>();
  const thalweg = picked ?? all[0]; // the book does not change while its section is looked at
  const booked = useMemo(
    () => (thalweg && levels ? sectionOf(thalweg, rows, levels, field.features) : null),
    [thalweg, levels, book.rows, field.features],
  );
  const gully = useSection(field, thalweg);
  const told = gully?.dams.filter((d) => d.disagrees); // as the gully's page has it
  const { section, asBooked } = useUpGully(booked, gully);
  const pairs = useSteps(section);
  if (!thalweg)
    return (
      <p>
        No bed is levelled in this book yet. Choose a thalweg under “Staff on”, stand the staff on its bed, and tape the chainage of each
        reading.
      </p>
    );
  if (!booked) return null; // why it cannot be reduced stands above
  const named = field.features.find((f) => f.id === thalweg);
  const name = named ? ownNameOf(named) : "the gully";
  return (
    <section class="section" aria-label={`Long section of ${name}`}>
      {all.length > 1 && (
        <Choice
          label="Gully"
          required
          of={all.map((id) => ({ value: id, label: nameOfID(field.features, id) }))}
          value={thalweg}
          pick={setPicked}
        />
      )}
      {section && (
        <Drawing
          section={{ ...section, pairs, dams: section.dams.map((d) => ({ ...d, disagrees: told?.some((t) => t.id === d.id) })) }}
          name={name}
        />
      )}
      {section?.notes.map((note) => (
        <p key={note} class="soft">
          {note}
        </p>
      ))}
      {told && told.length > 0 && (
        <Caution>{told.map((d) => d.name ?? "A dam").join(", ")}: level and place do not agree. Its page says how.</Caution>
      )}
      {section && <BedLevels bed={section.bed} asBooked={asBooked} />}
    </section>
  );
}

const nameOfID = (features: ReturnType<typeof useField>["features"], id: string): string => {
  const f = features.find((one) => one.id === id);
  return f ? ownNameOf(f) : "Thalweg";
};

/** The section up the gully from its downstream end, as its page has it; null until the book's own bed is worked out. */
function useUpGully(booked: Section | null, gully: Parameters<typeof upGully>[2]) {
  const { model } = useField();
  const [own, setOwn] = useState<{ of: Section; bed: BedOf["output"] | undefined } | null>(null);
  useAsking(
    () => (booked ? model.compute<BedOf["output"]>("long-section", { bed: booked.bed } satisfies BedOf["input"]) : undefined),
    [booked, model],
    (bed) => setOwn({ of: booked!, bed }),
    () => setOwn({ of: booked!, bed: undefined }), // one point, or a slip in the book: drawn as it is booked
  );
  return useMemo(
    () => (booked && own?.of === booked ? upGully(booked, own.bed, gully) : { section: null, asBooked: false }),
    [booked, own, gully],
  );
}

/** The steps from crest to next toe, once they are worked out. */
function useSteps(section: Section | null): SectionPair[] {
  const { model } = useField();
  const [steps, setSteps] = useState<{ of: Section | null; pairs: SectionPair[] }>({ of: null, pairs: [] });
  useAsking(
    () => {
      const ask = section && askForSteps(section);
      if (!ask) return;
      const check = (input: DamCheck["input"]) => model.compute<DamCheck["output"]>("dam-check", input);
      const { bed, ...dams } = ask;
      // A bed may be refused while it is half booked, or not reach a dam: the dams have steps without it.
      return check(ask).catch((refused) => (bed ? check(dams) : Promise.reject(refused)));
    },
    [section, model],
    (checked) => setSteps({ of: section!, pairs: stepsOf(checked) }), // without steps the bed and the dams are still drawn
  );
  return steps.of === section ? steps.pairs : [];
}
