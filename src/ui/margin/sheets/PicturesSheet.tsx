import { lazy, Suspense, useEffect, useRef, useState } from 'react';
import { downloadBlob, fileStem, zipOf } from '../../../files/index.ts';
import { Choice } from '../../parts/controls.tsx';
import { useApp, useEditorState, useScreen } from '../../state/context.tsx';
import { type Taken, takePictures, type Wanted } from './pictureSet.ts';

const PrintPage = lazy(() => import('./PrintPage.tsx'));

const SIZES = ['1600x1000', '2400x1500', '3840x2400'] as const;
type Size = (typeof SIZES)[number];
const PRINT_SIZE = { width: 1600, height: 1000 };

/**
 * Pictures to take away: one PNG, a set of chosen views before and after in one ZIP, or a page to print. Every picture has
 * its caption burnt in and in the file's text; before and after share camera, exposure, hour and size.
 */
export function PicturesSheet() {
  const app = useApp();
  const property = useEditorState((s) => s.document);
  const viewpointId = useEditorState((s) => s.session.viewpointId);
  const trouble = useScreen((s) => s.pictureTrouble);
  const [size, setSize] = useState<Size>('1600x1000');
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
  const [busy, setBusy] = useState('');
  const [shown, setShown] = useState<{ url: string; caption: string }>();
  const [print, setPrint] = useState<Taken[]>();
  const stop = useRef<AbortController>(undefined);
  useEffect(() => () => (shown ? URL.revokeObjectURL(shown.url) : undefined), [shown]);
  useEffect(() => () => stop.current?.abort(), []);

  const take = async (
    wanted: readonly Wanted[],
    pixels: { width: number; height: number },
    then: (taken: Taken[]) => unknown,
  ) => {
    stop.current = new AbortController();
    try {
      const taken = await takePictures(app, wanted, pixels, stop.current.signal, (done) =>
        setBusy(`Drawing picture ${done + 1} of ${wanted.length}, ${pixels.width} × ${pixels.height}`),
      );
      if (!stop.current.signal.aborted) await then(taken);
    } catch (error) {
      app.say(error instanceof Error ? error.message : String(error));
    } finally {
      setBusy('');
    }
  };
  const [width = 1600, height = 1000] = size.split('x').map(Number);
  const stem = fileStem(property.name);
  const one = (after: boolean) =>
    take([{ viewpointId, after }], { width, height }, ([picture]) => {
      if (!picture) return;
      setShown({ url: URL.createObjectURL(picture.blob), caption: picture.caption });
      downloadBlob(picture.blob, `${stem}-${picture.stem}-${size}.png`);
      app.say(`Picture ${after ? 'After' : 'Before'} handed to the browser.`);
    });
  const views = property.viewpoints.filter((v) => !left.has(v.id));
  const set = () =>
    take(
      views.flatMap((v) => [false, true].map((after) => ({ viewpointId: v.id, after }))),
      { width, height },
      async (taken) => {
        const files = await Promise.all(
          taken.map(async (t) => ({ name: `${stem}-${t.stem}-${size}.png`, bytes: new Uint8Array(await t.blob.arrayBuffer()) })),
        );
        const list = taken.map((t) => `${stem}-${t.stem}-${size}.png\n${t.caption}\n`).join('\n');
        files.push({ name: `${stem}-captions.txt`, bytes: new TextEncoder().encode(list) });
        downloadBlob(await zipOf(files), `${stem}-pictures-${size}.zip`);
        app.say(`${taken.length} pictures handed to the browser.`);
      },
    );
  const page = () =>
    take(
      [false, true].map((after) => ({ viewpointId, after })),
      PRINT_SIZE,
      setPrint,
    );

  const off = busy !== '' || trouble !== undefined;
  return (
    <>
      <div className="no-print stacked">
        <Choice<Size>
          label="Size in pixels"
          value={size}
          options={SIZES.map((s): [Size, string] => [s, s.replace('x', ' × ')])}
          onChoose={setSize}
        />
        <h3>The view on screen</h3>
        <div className="buttons">
          <button type="button" disabled={off} onClick={() => void one(false)}>
            PNG of Before
          </button>
          <button type="button" disabled={off} onClick={() => void one(true)}>
            PNG of After
          </button>
          <button type="button" disabled={off} onClick={() => void page()}>
            Page to print
          </button>
        </div>
        <h3>Make picture set</h3>
        <fieldset className="view-ticks">
          <legend className="spoken">Views in the set</legend>
          {property.viewpoints.map((v) => (
            <label key={v.id} className="tick">
              <input
                type="checkbox"
                checked={!left.has(v.id)}
                onChange={(event) => {
                  const next = new Set(left);
                  if (event.target.checked) next.delete(v.id);
                  else next.add(v.id);
                  setLeft(next);
                }}
              />
              {v.name}
            </label>
          ))}
        </fieldset>
        <div className="buttons">
          <button type="button" disabled={off || views.length === 0} onClick={() => void set()}>
            {views.length === 1 ? 'Set of 2 pictures' : `Set of ${2 * views.length} pictures`}
          </button>
          {busy !== '' && (
            <button type="button" onClick={() => stop.current?.abort()}>
              Stop
            </button>
          )}
        </div>
        <p className="second small">
          Each view before and after, one exposure, one size, captions burnt in; a ZIP with a list of the captions.
        </p>
        <p aria-live="polite">{busy}</p>
        {trouble && <p className="error">{trouble}</p>}
      </div>
      {shown && (
        <figure className="no-print">
          <img className="preview" src={shown.url} alt={shown.caption} />
        </figure>
      )}
      {print && (
        <Suspense fallback={null}>
          <PrintPage pictures={print} />
        </Suspense>
      )}
    </>
  );
}
