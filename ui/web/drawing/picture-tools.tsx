/** The builder's own picture under the course, to trace over. It stays in this page and goes nowhere. */
import { useId, useState } from 'preact/hooks';
import type { DrawingState } from './drawing-state.ts';

/** m a fresh picture is taken to be wide, until two places say better. */
const FIRST_WIDTH = 200;
const FIRST_STRENGTH = 0.6;

export function PictureTools({ state }: { state: DrawingState }) {
  const id = useId();
  const [trouble, setTrouble] = useState('');
  const picture = state.picture.value;
  const take = (file: File | undefined): void => {
    if (file === undefined) return;
    const address = URL.createObjectURL(file);
    const image = new Image();
    image.onload = () => {
      if (picture !== undefined) URL.revokeObjectURL(picture.address);
      const view = state.view.peek();
      state.picture.value = {
        address,
        name: file.name,
        width: image.naturalWidth,
        height: image.naturalHeight,
        x: view?.x ?? 0,
        y: view?.y ?? 0,
        metresPerPixel: FIRST_WIDTH / image.naturalWidth,
        strength: FIRST_STRENGTH,
      };
      setTrouble('');
    };
    image.onerror = () => {
      URL.revokeObjectURL(address);
      setTrouble(`${file.name} is no picture this browser can show. A PNG or JPEG does.`);
    };
    image.src = address;
  };
  return (
    <fieldset>
      <legend>A picture to trace over</legend>
      <p class="field-says">
        An aerial photo, a map, a sketch. It stays in this page: it is not stored with the project and not
        sent anywhere.
      </p>
      <label class="file-choice" for={id}>
        {picture === undefined ? 'Choose a picture' : 'Choose another'}
        <input
          id={id}
          type="file"
          accept="image/*"
          onChange={(event) => {
            take(event.currentTarget.files?.[0]);
            event.currentTarget.value = '';
          }}
        />
      </label>
      <p class="field-says refused" role="status">
        {trouble}
      </p>
      {picture === undefined ? null : (
        <>
          <p class="field-says">{picture.name}</p>
          <label class="strength">
            How strong
            <input
              type="range"
              min="0.1"
              max="1"
              step="0.05"
              value={picture.strength}
              onInput={(event) => {
                state.picture.value = { ...picture, strength: Number(event.currentTarget.value) };
              }}
            />
          </label>
          <button
            type="button"
            onClick={() => {
              URL.revokeObjectURL(picture.address);
              state.picture.value = undefined;
            }}
          >
            Take the picture away
          </button>
        </>
      )}
    </fieldset>
  );
}
