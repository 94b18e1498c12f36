/** Addresses of the invented properties; a file is fetched only when it is opened. */
const urls = import.meta.glob<string>('../../../demo/*/*.property.json', { eager: true, query: '?url', import: 'default' });

export interface Demo {
  /** As on the property itself: folder `small-bungalow` is "Small bungalow". */
  name: string;
  url: string;
  fileName: string;
}

/** All invented properties by name; the one of a first visit stands first. */
export const demos: readonly Demo[] = Object.entries(urls)
  .map(([path, url]): Demo => {
    const folder = path.split('/').at(-2)!;
    const words = folder.replaceAll('-', ' ');
    return { name: words[0]!.toUpperCase() + words.slice(1), url, fileName: `${folder}.property.json` };
  })
  .sort(
    (a, b) => Number(b.fileName.startsWith('brick')) - Number(a.fileName.startsWith('brick')) || a.name.localeCompare(b.name),
  );
