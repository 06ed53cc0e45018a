/** Files dropped anywhere on the page: looked at here, never opened by the browser in place of the page. */
import { useEffect } from 'preact/hooks';

/** `take` gets the first file; what a view took for itself (`preventDefault`) is left alone. */
export function useFileDrop(take: (file: File) => void): void {
  useEffect(() => {
    const holdsFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') ?? false;
    const onOver = (event: DragEvent): void => {
      if (holdsFiles(event)) event.preventDefault();
    };
    const onDrop = (event: DragEvent): void => {
      if (event.defaultPrevented || !holdsFiles(event)) return;
      event.preventDefault();
      const file = event.dataTransfer?.files[0];
      if (file !== undefined) take(file);
    };
    addEventListener('dragover', onOver);
    addEventListener('drop', onDrop);
    return () => {
      removeEventListener('dragover', onOver);
      removeEventListener('drop', onDrop);
    };
  }, [take]);
}
