/** For which tracks a study is asked: the one in view, all of the project, or some of them. */
import { useSignal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useWorkbench } from '../state/context.ts';
import { ChoiceField } from './choice-field.tsx';

type Which = 'here' | 'everywhere' | 'some';

export interface TracksChosen {
  readonly tracks: readonly string[];
  /** What chooses them, for the head of the study. */
  readonly control: ComponentChildren;
}

export function useTracksChosen(label: string): TracksChosen {
  const workbench = useWorkbench();
  const all = workbench.project.value.tracks;
  const { track } = workbench.choice.value;
  const which = useSignal<Which>('here');
  const picked = useSignal<readonly string[]>([]);
  const ids = Object.keys(all);
  const some = ids.filter((id) => picked.value.includes(id));
  const tracks =
    which.value === 'everywhere' ? ids : which.value === 'here' || some.length === 0 ? [track] : some;
  const put = (id: string, isIn: boolean): void => {
    // The last one stays: a study has a track.
    if (isIn) picked.value = [...tracks, id];
    else if (tracks.length > 1) picked.value = tracks.filter((other) => other !== id);
  };
  const control = (
    <>
      <ChoiceField
        label={label}
        value={which.value}
        options={[
          { value: 'here', text: all[track]?.name ?? 'this track' },
          { value: 'everywhere', text: 'all tracks' },
          ...(ids.length > 2 ? [{ value: 'some', text: 'some tracks' }] : []),
        ]}
        onChoice={(next) => {
          which.value = next as Which;
        }}
      />
      {which.value === 'some' ? (
        <fieldset class="ticks">
          <legend>Which tracks</legend>
          {ids.map((id) => (
            <label key={id}>
              <input
                type="checkbox"
                checked={tracks.includes(id)}
                disabled={tracks.length === 1 && tracks[0] === id}
                onChange={(event) => put(id, event.currentTarget.checked)}
              />
              <span>{all[id]?.name}</span>
            </label>
          ))}
        </fieldset>
      ) : null}
    </>
  );
  return { tracks, control };
}
