import { findMaterial, materialSheets } from '../../materials/index.ts';
import type { MaterialRef } from '../../scene/index.ts';
import { Choice } from './controls.tsx';

/** Library material by its words and reflectance; a bare reflectance of a textbook case stays as it is. */
export function MaterialChoice({
  label,
  value,
  onChoose,
}: {
  label: string;
  value: MaterialRef;
  onChoose(value: MaterialRef): void;
}) {
  const key = typeof value === 'string' ? value : 'bare';
  const known = typeof value === 'string' && findMaterial(value) === undefined ? [[value, value] as [string, string]] : [];
  const bare = typeof value === 'string' ? [] : [['bare', `bare reflectance ${value.reflectance}`] as [string, string]];
  const options = [
    ...bare,
    ...known,
    ...materialSheets.map((m): [string, string] => [m.id, `${m.label}, ρ ${m.reflectance.toFixed(2)}`]),
  ];
  return <Choice label={label} value={key} options={options} onChoose={(id) => id !== 'bare' && onChoose(id)} />;
}
