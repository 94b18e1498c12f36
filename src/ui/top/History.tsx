import { useCallback, useEffect, useState } from 'react';
import { downloadBlob, fileStem, type KeptVersion } from '../../files/index.ts';
import { TextField } from '../parts/controls.tsx';
import { Plate } from '../parts/Plate.tsx';
import { useApp } from '../state/context.tsx';
import { clock } from '../state/format.ts';
import { EMPTY } from '../state/words.ts';
import { keepThisVersion, restoreVersion } from './versions.ts';

/** Versions of this property kept on purpose: restore one, save it as a file, or forget it. */
export default function History() {
  const app = useApp();
  const [versions, setVersions] = useState<KeptVersion[]>();
  const read = useCallback(async () => setVersions((await app.keeper?.versions()) ?? []), [app]);
  useEffect(() => void read(), [read]);
  return (
    <Plate name="History" onClose={() => app.set({ overlay: 'none' })}>
      <TextField
        label="Keep this version: its name, then Enter"
        value=""
        onTake={(label) => void keepThisVersion(app, label).then(read)}
      />
      {versions === undefined && <p aria-busy="true">Reading the kept versions</p>}
      {versions?.length === 0 && <p>{EMPTY.history}</p>}
      <ul className="versions">
        {(versions ?? []).map((version) => (
          <li key={version.id}>
            <p>
              <strong>{version.label}</strong>{' '}
              <span className="second">
                {new Date(version.keptAtMs).toISOString().slice(0, 10)} {clock(new Date(version.keptAtMs))}
              </span>
            </p>
            <div className="buttons tight">
              <button type="button" aria-label={`Restore ${version.label}`} onClick={() => restoreVersion(app, version)}>
                Restore
              </button>
              <button
                type="button"
                aria-label={`Save ${version.label} as a file`}
                onClick={() =>
                  downloadBlob(
                    new Blob([version.text], { type: 'application/json' }),
                    `${fileStem(version.name)}-${fileStem(version.label)}.property.json`,
                  )
                }
              >
                Save a file
              </button>
              <button
                type="button"
                aria-label={`Forget ${version.label}`}
                onClick={() => void app.keeper?.forget(version.id).then(read)}
              >
                Forget
              </button>
            </div>
          </li>
        ))}
      </ul>
    </Plate>
  );
}
