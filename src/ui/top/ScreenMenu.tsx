import type { RefObject } from 'react';
import { Dialog, Popover } from 'react-aria-components';
import { Choice, Range, Toggle } from '../parts/controls.tsx';
import { useApp, useEditorState, useScreen } from '../state/context.tsx';

/** Colours, dimmer, text size, units and keys of the screen. The person chooses; nothing follows clock or sensor. */
export default function ScreenMenu({
  triggerRef,
  onClose,
}: {
  triggerRef: RefObject<HTMLButtonElement | null>;
  onClose(): void;
}) {
  const app = useApp();
  const s = useScreen((state) => ({
    colours: state.colours,
    dim: state.dimPercent,
    text: state.textPercent,
    keys: state.singleKeys,
    motion: state.lessMotion,
    left: state.leftHand,
  }));
  const lengthSystem = useEditorState((e) => e.session.lengthSystem);
  const lightUnit = useEditorState((e) => e.session.lightUnit);
  return (
    <Popover
      className="menu-popover"
      placement="bottom end"
      triggerRef={triggerRef}
      isOpen
      onOpenChange={(open) => !open && onClose()}
    >
      <Dialog className="menu screen-menu" aria-label="Screen">
        <Choice
          label="Colours (D steps)"
          value={s.colours}
          options={[
            ['dark', 'Dark'],
            ['paper', 'Paper'],
            ['red', 'Red'],
          ]}
          onChoose={(colours) => app.set({ colours })}
        />
        <Range
          label="Dim"
          value={s.dim}
          min={10}
          max={100}
          step={5}
          text={`${s.dim} %`}
          onChange={(dimPercent) => app.set({ dimPercent })}
        />
        {s.dim < 100 && <p className="small">Screen dimmed: do not judge exposure.</p>}
        <Range
          label="Text"
          value={s.text}
          min={90}
          max={160}
          step={10}
          text={`${s.text} %`}
          onChange={(textPercent) => app.set({ textPercent })}
        />
        <Choice
          label="Lengths"
          value={lengthSystem}
          options={[
            ['metric', 'metres'],
            ['feetInches', 'feet and inches'],
          ]}
          onChoose={(value) => app.editor.session({ lengthSystem: value })}
        />
        <Choice
          label="Light on surfaces"
          value={lightUnit}
          options={[
            ['lx', 'lux'],
            ['fc', 'foot-candles'],
          ]}
          onChoose={(value) => app.editor.session({ lightUnit: value })}
        />
        <Toggle label="Single-letter keys in the picture" on={s.keys} onChange={(singleKeys) => app.set({ singleKeys })} />
        <Toggle label="Less motion" on={s.motion} onChange={(lessMotion) => app.set({ lessMotion })} />
        <Toggle label="Left-hand" on={s.left} onChange={(leftHand) => app.set({ leftHand })} />
      </Dialog>
    </Popover>
  );
}
