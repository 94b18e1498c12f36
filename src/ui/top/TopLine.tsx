import { Redo2, Search, Undo2 } from 'lucide-react';
import { lazy, Suspense, useRef, useState } from 'react';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';
import { redo, undo } from '../state/keys.ts';
import { saveToFile } from './fileActions.ts';

const PropertyMenu = lazy(() => import('./PropertyMenu.tsx'));
const ScreenMenu = lazy(() => import('./ScreenMenu.tsx'));

/** Names the property, says what is saved, and holds undo and the ways out of the desk. */
export function TopLine() {
  const app = useApp();
  const name = useEditorState((s) => s.document.name);
  const invented = useEditorState((s) => s.document.site.invented);
  const undoLabel = useEditorState((s) => s.undoLabel);
  const redoLabel = useEditorState((s) => s.redoLabel);
  const save = useScreen((s) => s.save);
  const [open, setOpen] = useState<'property' | 'screen'>();
  const nameRef = useRef<HTMLButtonElement>(null);
  const screenRef = useRef<HTMLButtonElement>(null);
  return (
    <header className="top">
      <button
        ref={nameRef}
        type="button"
        className="plain property-name"
        aria-label={`Property: ${name}`}
        aria-haspopup="menu"
        aria-expanded={open === 'property'}
        onClick={() => setOpen(open === 'property' ? undefined : 'property')}
      >
        <h1>{name}</h1>
        {invented && <span className="second small wide-only">invented example</span>}
        <span aria-hidden="true">▾</span>
      </button>
      <span className={`saved phone-hidden ${save.kind}`}>
        {save.kind === 'failed' ? (
          <button type="button" className="plain" onClick={() => void saveToFile(app)}>
            {save.text}
          </button>
        ) : (
          save.text
        )}
      </span>
      <button
        type="button"
        className="plain"
        disabled={undoLabel === undefined}
        title={undoLabel === undefined ? 'Undo: nothing to undo' : `Undo: ${undoLabel}`}
        aria-label={undoLabel === undefined ? 'Undo' : `Undo: ${undoLabel}`}
        onClick={() => undo(app)}
      >
        <Undo2 size={20} aria-hidden="true" /> Undo
      </button>
      <button
        type="button"
        className="plain phone-hidden"
        disabled={redoLabel === undefined}
        title={redoLabel === undefined ? 'Redo: nothing to redo' : `Redo: ${redoLabel}`}
        aria-label={redoLabel === undefined ? 'Redo' : `Redo: ${redoLabel}`}
        onClick={() => redo(app)}
      >
        <Redo2 size={20} aria-hidden="true" /> Redo
      </button>
      <span className="gap" />
      <button type="button" className="plain phone-hidden" onClick={() => app.set({ overlay: 'find' })}>
        <Search size={20} aria-hidden="true" /> Find or do
      </button>
      <button type="button" className="plain phone-hidden" onClick={() => app.set({ overlay: 'client' })}>
        Show to client
      </button>
      <button type="button" className="plain phone-hidden" onClick={() => app.set({ overlay: 'help' })}>
        Help
      </button>
      <button
        ref={screenRef}
        type="button"
        className="plain"
        aria-haspopup="dialog"
        aria-expanded={open === 'screen'}
        onClick={() => setOpen(open === 'screen' ? undefined : 'screen')}
      >
        Screen
      </button>
      <Suspense fallback={null}>
        {open === 'property' && <PropertyMenu triggerRef={nameRef} onClose={() => setOpen(undefined)} />}
        {open === 'screen' && <ScreenMenu triggerRef={screenRef} onClose={() => setOpen(undefined)} />}
      </Suspense>
    </header>
  );
}
