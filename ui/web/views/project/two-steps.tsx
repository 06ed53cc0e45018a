/** A button for what cannot be taken back: it asks before it does. */
import { useState } from 'preact/hooks';

interface TwoStepsProps {
  readonly label: string;
  readonly question: string;
  readonly confirm: string;
  readonly onConfirm: () => void;
}

export function TwoSteps({ label, question, confirm, onConfirm }: TwoStepsProps) {
  const [asking, setAsking] = useState(false);
  if (!asking) {
    return (
      <button type="button" onClick={() => setAsking(true)}>
        {label}
      </button>
    );
  }
  return (
    <span class="asks" role="alert">
      {question}{' '}
      <button
        type="button"
        onClick={() => {
          setAsking(false);
          onConfirm();
        }}
      >
        {confirm}
      </button>{' '}
      <button type="button" onClick={() => setAsking(false)}>
        Keep it
      </button>
    </span>
  );
}
