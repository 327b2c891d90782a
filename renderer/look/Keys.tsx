import { Dialog, Heading, Modal, ModalOverlay } from 'react-aria-components';
import { Button } from './Button.tsx';
import { spokenKeys } from './keyNames.ts';
import { useInTurn } from './useInTurn.ts';
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
  return isOpen ? <Sheet onClose={onClose} {...(foot !== undefined && { foot })} /> : null;
}

/** Comes with its keys, a frame after what is behind it has become still: both in one task would hold the window. */
function Sheet({ onClose, foot }: Omit<KeysProps, 'isOpen'>) {
  const isWhole = useInTurn(2, 1) === 2;
  return (
    <ModalOverlay
      className="sheet-behind"
      isOpen
      onOpenChange={(open) => {
        if (!open) onClose();
      }}
      isDismissable
    >
      <Modal className="sheet" style={{ opacity: isWhole ? 1 : 0 }}>
        <Dialog className="sheet-inside">
          <div className="sheet-head">
            <Heading slot="title" level={2}>
              Keys
            </Heading>
            <Button onPress={onClose}>Close</Button>
          </div>
          {isWhole && <KeyList />}
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
