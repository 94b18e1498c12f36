import { type PropertyDocument, serialiseProperty } from '../scene/index.ts';

/** File name of a property: its letters and digits, at most 60, then `.property.json`. */
export function propertyFileName(name: string): string {
  return `${fileStem(name)}.property.json`;
}

/** A name that is safe on every disk: lower-case letters, digits and dashes. */
export function fileStem(name: string): string {
  const stem = name
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .slice(0, 60)
    .replace(/^-+|-+$/g, '');
  return stem === '' ? 'property' : stem;
}

/** The bytes of a property file. */
export function propertyBlob(document: PropertyDocument): Blob {
  return new Blob([serialiseProperty(document)], { type: 'application/json' });
}

/** Saves a property as a file the browser downloads. */
export function savePropertyFile(document: PropertyDocument): void {
  downloadBlob(propertyBlob(document), propertyFileName(document.name));
}

/** Hands bytes to the browser as a download; also for refused files, pictures and tables. */
export function downloadBlob(blob: Blob, name: string): void {
  const url = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  // Let the browser take hold of the address before it is given back.
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

/** Asks for one file by the browser's own dialog; undefined when it was closed without one. */
export function pickFile(accept = '.json,application/json'): Promise<File | undefined> {
  return new Promise((resolve) => {
    const input = document.createElement('input');
    input.type = 'file';
    input.accept = accept;
    // In the page while the dialog is open, so that the browser cannot drop it meanwhile.
    input.hidden = true;
    document.body.append(input);
    const answer = (file: File | undefined) => {
      input.remove();
      resolve(file);
    };
    input.addEventListener('change', () => answer(input.files?.[0]));
    input.addEventListener('cancel', () => answer(undefined));
    input.click();
  });
}
