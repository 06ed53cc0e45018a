/** Hands the workbench down to the views. */
import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import type { Workbench } from './workbench.ts';

const WorkbenchContext = createContext<Workbench | undefined>(undefined);

export const WorkbenchProvider = WorkbenchContext.Provider;

export function useWorkbench(): Workbench {
  const workbench = useContext(WorkbenchContext);
  if (workbench === undefined) throw new Error('useWorkbench: there is no WorkbenchProvider above this view');
  return workbench;
}
