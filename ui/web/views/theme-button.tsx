/** Switches between the two looks: paper, and black on white for sunlight. */
import { useEffect } from 'preact/hooks';
import { useWorkbench } from '../state/context.ts';

export function ThemeButton() {
  const { theme } = useWorkbench();
  const isSunlight = theme.value === 'sunlight';
  useEffect(() => {
    document.documentElement.dataset['theme'] = theme.value;
  }, [theme.value]);
  return (
    <button
      type="button"
      class="bar-button"
      aria-pressed={isSunlight}
      onClick={() => {
        theme.value = isSunlight ? 'paper' : 'sunlight';
      }}
    >
      Sunlight
    </button>
  );
}
