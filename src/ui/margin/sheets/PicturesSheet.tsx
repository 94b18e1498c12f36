import { useEffect, useState } from 'react';
import { downloadBlob, fileStem } from '../../../files/index.ts';
import { Choice } from '../../parts/controls.tsx';
import { whenSettled } from '../../picture/still.ts';
import { captionOf } from '../../state/caption.ts';
import { useApp, useEditorState, useScreen } from '../../state/context.tsx';
import { captionedPng } from './captionedPng.ts';

const SIZES = ['1600x1000', '2400x1500', '3840x2400'] as const;
type Size = (typeof SIZES)[number];

/** PNG of the picture on screen with its caption burnt in and repeated in the file's text. Before and after share all but the lamps. */
export function PicturesSheet() {
  const app = useApp();
  const property = useEditorState((s) => s.document);
  const session = useEditorState((s) => s.session);
  const trouble = useScreen((s) => s.pictureTrouble);
  const [size, setSize] = useState<Size>('1600x1000');
  const [busy, setBusy] = useState('');
  const [preview, setPreview] = useState<{ url: string; caption: string }>();
  useEffect(() => () => (preview ? URL.revokeObjectURL(preview.url) : undefined), [preview]);

  const make = async (after: boolean) => {
    const was = app.editor.store.getState().session.after;
    const { compare } = app.screen.getState();
    setBusy(after ? 'After' : 'Before');
    app.set({ compare: 'off' });
    app.editor.session({ after });
    try {
      if (!(await whenSettled(app, new AbortController().signal)))
        throw new Error('The light could not be worked out, so no picture was made.');
      const [width = 1600, height = 1000] = size.split('x').map(Number);
      const bytes = await app.picture.current?.png(width, height);
      if (!bytes) throw new Error('No 3D drawing in this browser, so no picture was made.');
      const caption = captionOf(app);
      const blob = await captionedPng(new Uint8Array(bytes), width, height, caption);
      setPreview({ url: URL.createObjectURL(blob), caption });
      downloadBlob(blob, `${fileStem(property.name)}-${session.viewpointId ?? 'free'}-${after ? 'after' : 'before'}-${size}.png`);
      app.say(`Picture ${after ? 'After' : 'Before'} handed to the browser.`);
    } catch (error) {
      app.say(error instanceof Error ? error.message : String(error));
    } finally {
      app.editor.session({ after: was });
      app.set({ compare });
      setBusy('');
    }
  };
  return (
    <>
      <Choice<Size>
        label="Size in pixels"
        value={size}
        options={SIZES.map((s): [Size, string] => [s, s.replace('x', ' × ')])}
        onChoose={setSize}
      />
      <div className="buttons">
        <button type="button" disabled={busy !== '' || trouble !== undefined} onClick={() => void make(false)}>
          PNG of Before
        </button>
        <button type="button" disabled={busy !== '' || trouble !== undefined} onClick={() => void make(true)}>
          PNG of After
        </button>
      </div>
      <p aria-live="polite">{busy !== '' && `Drawing ${busy} at ${size.replace('x', ' × ')}`}</p>
      {trouble && <p className="error">{trouble}</p>}
      {preview && (
        <figure>
          <img className="preview" src={preview.url} alt={preview.caption} />
        </figure>
      )}
    </>
  );
}
