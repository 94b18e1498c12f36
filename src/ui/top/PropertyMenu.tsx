import type { RefObject } from 'react';
import { Menu, MenuItem, Popover, Separator } from 'react-aria-components';
import type { App } from '../state/app.ts';
import { useApp, useEditorState } from '../state/context.tsx';
import { redo } from '../state/keys.ts';
import { openDemo, openFileByPicker, saveToFile } from './fileActions.ts';
import { keepThisVersion } from './versions.ts';

/** Menu of the property's name; on the phone it also holds what the line has no room for. Loaded when first opened. */
export default function PropertyMenu({
  triggerRef,
  onClose,
}: {
  triggerRef: RefObject<HTMLButtonElement | null>;
  onClose(): void;
}) {
  const app = useApp();
  const redoLabel = useEditorState((s) => s.redoLabel);
  return (
    <Popover
      className="menu-popover"
      aria-label="Property"
      placement="bottom start"
      triggerRef={triggerRef}
      isOpen
      onOpenChange={(open) => !open && onClose()}
    >
      <Menu className="menu" aria-label="Property" autoFocus="first" onAction={(key) => act(app, String(key))} onClose={onClose}>
        <MenuItem className="item" id="start">
          Start
        </MenuItem>
        <MenuItem className="item" id="open" textValue="Open a file">
          Open a file <kbd>Ctrl+O</kbd>
        </MenuItem>
        <MenuItem className="item" id="save" textValue="Save a file">
          Save a file <kbd>Ctrl+S</kbd>
        </MenuItem>
        <MenuItem className="item" id="keep">
          Keep this version
        </MenuItem>
        <MenuItem className="item" id="history">
          History
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
  );
}

function act(app: App, key: string): void {
  const acts: Record<string, () => void> = {
    start: () => app.set({ overlay: 'start' }),
    open: () => openFileByPicker(app),
    save: () => void saveToFile(app),
    keep: () => void keepThisVersion(app),
    history: () => app.set({ overlay: 'history' }),
    demo: () => void openDemo(app),
    find: () => app.set({ overlay: 'find' }),
    client: () => app.set({ overlay: 'client' }),
    help: () => app.set({ overlay: 'help' }),
    redo: () => redo(app),
  };
  acts[key]?.();
}
