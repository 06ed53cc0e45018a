/** What merging would do, entry by entry, with a choice where both projects have the entry and differ. */
import type { Decision, MergeLine } from '../../exchange/merge-preview.ts';
import { DECISION_WORD, fateSentence, kindWord } from '../../words/merge-words.ts';

interface MergeTableProps {
  readonly lines: readonly MergeLine[];
  readonly onDecide: (path: string, decision: Decision) => void;
}

const DECIDED: Readonly<Partial<Record<MergeLine['fate'], Decision>>> = {
  left: 'mine',
  replaced: 'theirs',
  renamed: 'both',
};

export function MergeTable({ lines, onDecide }: MergeTableProps) {
  const told = lines.filter((line) => line.fate !== 'same');
  const same = lines.length - told.length;
  return (
    <>
      {told.length === 0 ? null : (
        <table class="merge">
          <thead>
            <tr>
              <th scope="col">What</th>
              <th scope="col">Becomes</th>
            </tr>
          </thead>
          <tbody>
            {told.map((line) => (
              <tr key={line.path}>
                <th scope="row">
                  {line.name}
                  <small>
                    {kindWord(line.collection)} <code>{line.path}</code>
                  </small>
                </th>
                <td>
                  {fateSentence(line)}
                  {line.choices.length === 0 ? null : (
                    <select
                      aria-label={`${line.name}: mine and theirs differ`}
                      value={DECIDED[line.fate] ?? 'mine'}
                      onChange={(event) => onDecide(line.path, event.currentTarget.value as Decision)}
                    >
                      {line.choices.map((choice) => (
                        <option key={choice} value={choice}>
                          {DECISION_WORD[choice]}
                        </option>
                      ))}
                    </select>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {same === 0 ? null : <p class="field-says">{same} more are the same in both.</p>}
    </>
  );
}
