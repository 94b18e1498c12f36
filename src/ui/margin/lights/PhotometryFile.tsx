import { useRef } from 'react';
import { useApp, useScreen } from '../../state/context.tsx';
import { takePhotometry } from '../../state/photometry.ts';

/** Button for a photometric file of one light, and what the last file said. Dropping a file on the panel does the same. */
export function PhotometryFile({ lightId, disabled }: { lightId: string; disabled: boolean }) {
  const app = useApp();
  const input = useRef<HTMLInputElement>(null);
  const note = useScreen((s) => (s.photometry?.lightId === lightId ? s.photometry : undefined));
  const choose = () => input.current?.click();
  return (
    <>
      <button type="button" disabled={disabled} onClick={choose}>
        Photometric file…
      </button>
      <input
        ref={input}
        type="file"
        accept=".ies,.ldt"
        hidden
        aria-label="Photometric file"
        onChange={(event) => {
          const file = event.target.files?.[0];
          event.target.value = '';
          if (file) takePhotometry(app, lightId, file);
        }}
      />
      {note && (
        <section className="photometry-note" aria-label={`Photometric file ${note.fileName}`}>
          <h4>{note.refused ? `${note.fileName} was not read` : note.fileName}</h4>
          {note.lines.map((line) => (
            <p key={line} className={note.refused ? 'error' : 'small'}>
              {line}
            </p>
          ))}
          <div className="buttons">
            <button type="button" onClick={() => app.set({ photometry: undefined })}>
              {note.refused ? 'Close' : 'Keep'}
            </button>
            <button type="button" onClick={choose}>
              Choose another
            </button>
          </div>
        </section>
      )}
    </>
  );
}
