/** Hands stored projects and the state of the network down to the views. */
import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import type { Offline } from '../offline/updates.ts';
import type { Desk } from './desk.ts';

export interface StoreContextValue {
  readonly desk: Desk;
  readonly offline: Offline;
}

const StoreContext = createContext<StoreContextValue | undefined>(undefined);

export const StoreProvider = StoreContext.Provider;

export function useStore(): StoreContextValue {
  const value = useContext(StoreContext);
  if (value === undefined) throw new Error('useStore: there is no StoreProvider above this view');
  return value;
}
