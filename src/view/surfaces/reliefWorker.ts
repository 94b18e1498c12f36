import { createReliefMaps, findRelief } from '../../materials/index.ts';

/** Works out one relief per message and sends its arrays back. */
self.onmessage = (event: MessageEvent<{ name: string }>): void => {
  const recipe = findRelief(event.data.name);
  if (!recipe) return;
  const maps = createReliefMaps(recipe);
  self.postMessage(maps, { transfer: [maps.shape.buffer, maps.horizon.buffer, maps.response.buffer] });
};
