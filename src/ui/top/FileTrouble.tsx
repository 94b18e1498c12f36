import { downloadBlob } from '../../files/index.ts';
import { Plate } from '../parts/Plate.tsx';
import { useApp, useScreen } from '../state/context.tsx';

/** A file that could not be opened: what and where, what would be accepted, its bytes kept. */
export default function FileTrouble() {
  const app = useApp();
  const trouble = useScreen((s) => s.fileTrouble);
  if (!trouble) return null;
  return (
    <Plate name="File not opened" onClose={() => app.set({ fileTrouble: undefined })}>
      <p role="alert">
        <strong>{trouble.title}</strong>
      </p>
      <p className="lines">{trouble.text}</p>
      <p className="second">The property on screen is untouched.</p>
      <button type="button" onClick={() => downloadBlob(trouble.bytes, trouble.fileName)}>
        Save the file’s bytes again
      </button>
    </Plate>
  );
}
