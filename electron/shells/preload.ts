/** All that the desktop window gives its page beyond a browser: where a dropped file lies, so that it need not be uploaded. */
import { contextBridge, webUtils } from 'electron';

contextBridge.exposeInMainWorld('wetline', {
  pathOf: (file: File): string => webUtils.getPathForFile(file),
});
