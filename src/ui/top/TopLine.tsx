import { Redo2, Search, Undo2 } from 'lucide-react';
import { Button, Menu, MenuItem, MenuTrigger, Popover, Separator } from 'react-aria-components';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';
import { redo, undo } from '../state/keys.ts';
import { openFileByPicker, openDemo, saveToFile } from './fileActions.ts';
import { ScreenMenu } from './ScreenMenu.tsx';

/** Names the property, says what is saved, and holds undo and the ways out of the desk. */
export function TopLine() {
  const app = useApp();
  const name = useEditorState((s) => s.document.name);
  const invented = useEditorState((s) => s.document.site.invented);
  const undoLabel = useEditorState((s) => s.undoLabel);
  const redoLabel = useEditorState((s) => s.redoLabel);
  const save = useScreen((s) => s.save);
  return (
    <header className="top">
      <MenuTrigger>
        <Button className="plain property-name" aria-label={`Property: ${name}`}>
          <h1>{name}</h1>
          {invented && <span className="second small wide-only">invented example</span>}
          <span aria-hidden="true">▾</span>
        </Button>
        <Popover className="menu-popover" placement="bottom start">
          <Menu className="menu" aria-label="Property" onAction={(key) => propertyAction(app, String(key))}>
            <MenuItem className="item" id="start">
              Start
            </MenuItem>
            <MenuItem className="item" id="open" textValue="Open a file">
              Open a file <kbd>Ctrl+O</kbd>
            </MenuItem>
            <MenuItem className="item" id="save" textValue="Save a file">
              Save a file <kbd>Ctrl+S</kbd>
            </MenuItem>
            <MenuItem className="item" id="demo">
              Demo property: Brick two-storey
            </MenuItem>
            <Separator />
            <MenuItem className="item" id="find">
              Find or do
            </MenuItem>
            <MenuItem className="item" id="client">
              Show to client
            </MenuItem>
            <MenuItem className="item" id="help">
              Help
            </MenuItem>
            <MenuItem className="item" id="redo">
              {redoLabel === undefined ? 'Redo: nothing' : `Redo: ${redoLabel}`}
            </MenuItem>
          </Menu>
        </Popover>
      </MenuTrigger>
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
      <ScreenMenu />
    </header>
  );
}

function propertyAction(app: ReturnType<typeof useApp>, key: string): void {
  const acts: Record<string, () => void> = {
    start: () => app.set({ overlay: 'start' }),
    open: () => openFileByPicker(app),
    save: () => void saveToFile(app),
    demo: () => void openDemo(app),
    find: () => app.set({ overlay: 'find' }),
    client: () => app.set({ overlay: 'client' }),
    help: () => app.set({ overlay: 'help' }),
    redo: () => redo(app),
  };
  acts[key]?.();
}
