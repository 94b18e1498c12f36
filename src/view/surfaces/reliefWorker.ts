import { makeRelief } from './reliefHere.ts';

/** Works out one relief per message and sends its arrays back. */
self.onmessage = (event: MessageEvent<{ name: string }>): void => {
  const maps = makeRelief(event.data.name);
  if (maps) self.postMessage(maps, { transfer: [maps.shape.buffer, maps.horizon.buffer, maps.response.buffer] });
};
