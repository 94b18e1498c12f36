import { useEffect, useMemo, useRef, useState } from 'react';
import { Choice } from '../parts/controls.tsx';
import { QuantityField } from '../parts/QuantityField.tsx';
import { selectLights } from '../state/actions.ts';
import { useApp, useEditorState } from '../state/context.tsx';
import { hostsOf, placeAtHost } from './placing.ts';

/** Add light by keys: host, set-back, aim height, Enter. */
export function AddByList() {
  const app = useApp();
  const property = useEditorState((s) => s.document);
  const hosts = useMemo(() => hostsOf(property), [property]);
  const [hostId, setHostId] = useState(hosts[0]?.id ?? '');
  const host = hosts.find((h) => h.id === hostId);
  const [setBackM, setSetBack] = useState(0.38);
  const [aimM, setAim] = useState(host?.topM ?? 2.5);
  const latest = useRef({ host, setBackM, aimM });
  latest.current = { host, setBackM, aimM };
  const first = useRef<HTMLDivElement>(null);
  const opener = useRef<Element | null>(document.activeElement);
  useEffect(() => first.current?.querySelector('select')?.focus(), []);
  const close = () => {
    app.set({ mode: 'rest' });
    const back = opener.current;
    if (back instanceof HTMLElement && back.isConnected) back.focus();
    else document.querySelector<HTMLElement>('.stage')?.focus();
  };
  const add = () => {
    const now = latest.current;
    if (!now.host) return;
    const { at, aim } = placeAtHost(app.editor.store.getState().document, now.host, now.setBackM, now.aimM);
    const fixture = app.editor.addLight(at, aim, { mount: 'inGrade' });
    selectLights(app, [fixture.id]);
    app.say(`Light added at ${now.host.name}.`);
    close();
  };
  return (
    <form
      className="panel add-by-list"
      aria-label="Add light"
      onSubmit={(event) => {
        event.preventDefault();
        add();
      }}
      onKeyDown={(event) => {
        if (event.key === 'Escape') {
          event.stopPropagation();
          close();
        }
        if (event.key === 'Enter' && event.target instanceof HTMLInputElement) requestAnimationFrame(add);
      }}
    >
      <h2>Add light</h2>
      {hosts.length === 0 ? (
        <p>No wall to choose. Press Add light and press in the picture.</p>
      ) : (
        <>
          <div ref={first}>
            <Choice
              label="Host"
              value={hostId}
              options={hosts.map((h): [string, string] => [h.id, h.name])}
              onChoose={setHostId}
            />
          </div>
          <div className="fields">
            <QuantityField
              label="Set-back from wall"
              value={setBackM}
              unit="m"
              min={0.05}
              max={10}
              step={0.01}
              onTake={setSetBack}
            />
            <QuantityField label="Aim height up the wall" value={aimM} unit="m" min={0} max={15} step={0.1} onTake={setAim} />
          </div>
        </>
      )}
      <div className="buttons">
        <button type="submit" disabled={!host}>
          Add light
        </button>
        <button type="button" onClick={() => app.set({ mode: 'add' })}>
          By pressing in the picture
        </button>
        <button type="button" onClick={close}>
          Put away
        </button>
      </div>
    </form>
  );
}
