import { Dialog, Heading, Modal, ModalOverlay } from 'react-aria-components';
import { Button } from './Button.tsx';
import { spokenKeys } from './keyNames.ts';
import { mergedGroups, useKeyGroups } from './useKeys.ts';

export interface KeysProps {
  readonly isOpen: boolean;
  readonly onClose: () => void;
  /** A quiet line at its foot. */
  readonly foot?: string;
}

/** The help sheet: every key that works now. */
export function Keys({ isOpen, onClose, foot }: KeysProps) {
  // A closed one costs nothing: pages register their keys while they are drawn.
  if (!isOpen) return null;
  return (
    <ModalOverlay
      className="sheet-behind"
      isOpen
      onOpenChange={(open) => {
        if (!open) onClose();
      }}
      isDismissable
    >
      <Modal className="sheet">
        <Dialog className="sheet-inside">
          <div className="sheet-head">
            <Heading slot="title" level={2}>
              Keys
            </Heading>
            <Button onPress={onClose}>Close</Button>
          </div>
          <KeyList />
          {foot !== undefined && <p className="sheet-foot">{foot}</p>}
        </Dialog>
      </Modal>
    </ModalOverlay>
  );
}

function KeyList() {
  const groups = mergedGroups(useKeyGroups());
  return (
    <div className="keys">
      {groups.map(({ group, bindings }) => (
        <section key={group}>
          <h3>{group}</h3>
          <dl>
            {bindings.map(({ keys, does }) => (
              <div key={keys + does} style={{ display: 'contents' }}>
                <dt>
                  {keys.split(' / ').map((key, i) => (
                    <span key={key}>
                      {i > 0 && ' or '}
                      <kbd>{spokenKeys(key)}</kbd>
                    </span>
                  ))}
                </dt>
                <dd>{does}</dd>
              </div>
            ))}
          </dl>
        </section>
      ))}
    </div>
  );
}
