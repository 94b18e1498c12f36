import { lazy, Suspense, useState } from 'react';
import { downloadBlob, fileStem, massingGlb, savePropertyFile } from '../../../files/index.ts';
import { Plate } from '../../parts/Plate.tsx';
import { useApp, useEditorState, useScheme, useScreen } from '../../state/context.tsx';
import { EMPTY } from '../../state/words.ts';
import { KitSheet } from './KitSheet.tsx';
import { PicturesSheet } from './PicturesSheet.tsx';

const AimingSheet = lazy(() => import('./AimingSheet.tsx'));

type Sheet = 'kit' | 'aiming' | 'pictures';

/** What can be taken away. Sheets this build does not make are not listed as buttons. */
export default function SheetsList() {
  const app = useApp();
  const scheme = useScheme();
  const document = useEditorState((s) => s.document);
  const [open, setOpen] = useState<Sheet>();
  const scene = useScreen((s) => s.scene);
  const saveMassing = async () => {
    if (!scene) return;
    try {
      const blob = await massingGlb(scene, { property: document.name, invented: document.site.invented });
      downloadBlob(blob, `${fileStem(document.name)}-massing.glb`);
      app.say('Massing model handed to the browser.');
    } catch (error) {
      app.say(`The massing model could not be made: ${error instanceof Error ? error.message : String(error)}`);
    }
  };
  const empty = (scheme?.fixtures.length ?? 0) === 0;
  return (
    <>
      {empty && <p>{EMPTY.sheets(scheme?.name ?? 'none')}</p>}
      <div className="sheet-ways">
        <button type="button" disabled={empty} onClick={() => setOpen('kit')}>
          Kit list
        </button>
        <button type="button" disabled={empty} onClick={() => setOpen('aiming')}>
          Aiming sheet
        </button>
        <button type="button" onClick={() => setOpen('pictures')}>
          Pictures
        </button>
        <button
          type="button"
          onClick={() => {
            savePropertyFile(document);
            app.say('Property file handed to the browser.');
          }}
        >
          Property file
        </button>
        <button type="button" disabled={!scene} onClick={() => void saveMassing()}>
          Massing model (GLB)
        </button>
      </div>
      <p className="second small">
        Quote, installation sheet, night log, yearly care and client page are not part of this build yet.
      </p>
      {open && (
        <Plate
          name={open === 'kit' ? 'Kit list' : open === 'aiming' ? 'Aiming sheet' : 'Pictures'}
          className="sheet"
          onClose={() => setOpen(undefined)}
        >
          <Suspense fallback={null}>
            {open === 'kit' && <KitSheet />}
            {open === 'aiming' && <AimingSheet />}
            {open === 'pictures' && <PicturesSheet />}
          </Suspense>
        </Plate>
      )}
    </>
  );
}
