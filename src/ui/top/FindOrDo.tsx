import { type KeyboardEvent, useMemo, useState } from 'react';
import { lightLabel } from '../../editor/index.ts';
import { Plate } from '../parts/Plate.tsx';
import { chooseScheme, goToViewpoint, openList, selectLights, showFinding } from '../state/actions.ts';
import type { App } from '../state/app.ts';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';
import { pictureKey, redo, undo } from '../state/keys.ts';
import { copyScheme } from '../state/schemes.ts';
import { LIST_WORD } from '../state/words.ts';
import { demos } from './demos.ts';
import { openDemo, openFileByPicker, saveToFile } from './fileActions.ts';

interface Entry {
  text: string;
  kind: string;
  run(): void;
}

const SHOWN = 12;

/** One field over lights, findings, views, lists and commands. */
export default function FindOrDo() {
  const app = useApp();
  const document = useEditorState((s) => s.document);
  const session = useEditorState((s) => s.session);
  const s = useScreen((x) => ({ judged: x.judged, letters: x.letters }));
  const [query, setQuery] = useState('');
  const [at, setAt] = useState(0);
  const close = () => app.set({ overlay: 'none' });
  const entries = useMemo((): Entry[] => {
    const scheme = document.schemes.find((x) => x.id === session.schemeId);
    return [
      ...commands(app),
      ...(scheme?.fixtures ?? []).map((f) => ({
        text: capital(lightLabel(document, session.schemeId, f.id)),
        kind: 'light',
        run: () => {
          selectLights(app, [f.id]);
          openList(app, 'lights');
        },
      })),
      ...(s.judged?.findings ?? []).map((f) => ({
        text: `${s.letters[f.id] ?? ''} ${f.label}: ${f.message}`,
        kind: 'finding',
        run: () => {
          openList(app, 'review');
          showFinding(app, f);
        },
      })),
      ...document.viewpoints.map((v) => ({ text: v.name, kind: 'view', run: () => goToViewpoint(app, v) })),
      ...document.schemes.map((x) => ({ text: `Scheme ${x.name}`, kind: 'scheme', run: () => chooseScheme(app, x.id) })),
    ];
  }, [app, document, session.schemeId, s.judged, s.letters]);
  const words = query.toLowerCase().split(/\s+/).filter(Boolean);
  const found = entries.filter((e) => words.every((w) => `${e.text} ${e.kind}`.toLowerCase().includes(w))).slice(0, SHOWN);
  const run = (entry: Entry | undefined) => {
    if (!entry) return;
    close();
    entry.run();
  };
  const onKeyDown = (event: KeyboardEvent) => {
    if (event.key === 'ArrowDown') setAt(Math.min(found.length - 1, at + 1));
    else if (event.key === 'ArrowUp') setAt(Math.max(0, at - 1));
    else if (event.key === 'Enter') run(found[at]);
    else return;
    event.preventDefault();
  };
  return (
    <Plate name="Find or do" onClose={close}>
      <input
        type="text"
        className="find"
        role="combobox"
        aria-expanded="true"
        aria-controls="found"
        aria-activedescendant={found[at] ? `found-${at}` : undefined}
        aria-label="Find or do"
        value={query}
        onChange={(event) => {
          setQuery(event.target.value);
          setAt(0);
        }}
        onKeyDown={onKeyDown}
      />
      <div id="found" role="listbox" aria-label="Found" className="rows">
        {found.map((entry, i) => (
          <div
            key={`${entry.kind} ${entry.text}`}
            id={`found-${i}`}
            role="option"
            aria-selected={i === at}
            tabIndex={-1}
            className="row"
            onClick={() => run(entry)}
            onKeyDown={() => undefined}
          >
            <span className="row-words">{entry.text}</span>
            <span className="second">{entry.kind}</span>
          </div>
        ))}
        {found.length === 0 && <p className="second">Nothing by that name.</p>}
      </div>
    </Plate>
  );
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function commands(app: App): Entry[] {
  const review = () => openList(app, 'review');
  const wiring = () => openList(app, 'wiring');
  const list: [string, () => void][] = [
    ['Add light', () => app.set({ mode: 'addByList' })],
    ['Try another lamp', () => openList(app, 'lights')],
    ['Show where it dazzles', review],
    ['Find dark gaps', review],
    ['Find hot spots', review],
    ['Check voltage', wiring],
    ['What if lamps draw more than marked', () => app.set({ openCell: 'load' })],
    ['Split this run', wiring],
    ['Before and after', () => app.editor.session({ after: !app.editor.store.getState().session.after })],
    ['Show night level (lux map)', () => pictureKey(app, 'l', false)],
    ['Copy this scheme', () => copyScheme(app)],
    ['Undo', () => undo(app)],
    ['Redo', () => redo(app)],
    ['Open a file', () => openFileByPicker(app)],
    ['Save a file', () => void saveToFile(app)],
    ...demos.map((demo): [string, () => void] => [`Demo property: ${demo.name}`, () => void openDemo(app, demo)]),
    ['Show to client', () => app.set({ overlay: 'client' })],
    ['Help', () => app.set({ overlay: 'help' })],
    ['Start', () => app.set({ overlay: 'start' })],
  ];
  const lists = Object.entries(LIST_WORD).map(
    ([id, word]): Entry => ({ text: word, kind: 'list', run: () => openList(app, id as keyof typeof LIST_WORD) }),
  );
  return [...list.map(([text, run]) => ({ text, kind: 'do', run })), ...lists];
}
