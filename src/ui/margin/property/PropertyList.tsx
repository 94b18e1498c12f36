import { Fold, TextField } from '../../parts/controls.tsx';
import { useApp, useEditorState } from '../../state/context.tsx';
import { EMPTY } from '../../state/words.ts';
import { Buildings } from './Buildings.tsx';
import { GroundFields } from './GroundFields.tsx';
import { Planting } from './Planting.tsx';
import { Questions } from './Questions.tsx';
import { SeatsViews } from './SeatsViews.tsx';
import { SiteFields } from './SiteFields.tsx';

/** The property by its records: site, buildings, planting, ground, seats and views, open questions. */
export default function PropertyList() {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const open = document.questions.filter((q) => q.answer === undefined).length;
  return (
    <>
      <TextField
        label="Name of the property"
        value={document.name}
        onTake={(name) => app.editor.edit('rename the property', (d) => ({ ...d, name: name.trim().slice(0, 200) || d.name }))}
      />
      {document.site.invented && <p className="second small">An invented example: every size and name is made up.</p>}
      {document.buildings.length === 0 && <p>{EMPTY.property}</p>}
      <Fold title="Site">
        <SiteFields />
      </Fold>
      <Fold title="Buildings" note={`${document.buildings.reduce((n, b) => n + b.parts.length, 0)} parts`} open>
        <Buildings />
      </Fold>
      <Fold title="Planting" note={String(document.planting.length)}>
        <Planting />
      </Fold>
      <Fold title="Ground and water" note={String(document.ground.patches.length)}>
        <GroundFields />
      </Fold>
      <Fold title="Seats & views" note={String(document.viewpoints.length)}>
        <SeatsViews />
      </Fold>
      <Fold title="Open questions" note={open === 0 ? 'none open' : `${open} open`}>
        <Questions />
      </Fold>
    </>
  );
}
