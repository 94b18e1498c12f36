import { useEffect, useMemo, useState } from 'react';
import type { VoltsByLight } from '../../lights/index.ts';
import type { PropertyDocument } from '../../scene/index.ts';
import { useScreen } from '../state/context.tsx';

type SolveVolts = (document: PropertyDocument, schemeId: string) => VoltsByLight;

/** Volts of the shown lamps, so that their lenses look as bright as their light. The cable solve is fetched after the first picture. */
export function useSolvedVolts(document: PropertyDocument, schemeId: string): VoltsByLight | undefined {
  const [solve, setSolve] = useState<{ volts: SolveVolts }>();
  const pictured = useScreen((s) => s.settled > 0);
  useEffect(() => {
    if (!pictured) return;
    let gone = false;
    void import('../../power/index.ts').then(({ solvedVolts }) => {
      if (!gone) setSolve({ volts: solvedVolts });
    });
    return () => {
      gone = true;
    };
  }, [pictured]);
  return useMemo(() => solve?.volts(document, schemeId), [solve, document, schemeId]);
}
