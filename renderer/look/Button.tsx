import type { ReactNode } from 'react';
import { Button as AriaButton, type ButtonProps as AriaButtonProps } from 'react-aria-components';

export interface ButtonProps extends Omit<AriaButtonProps, 'className' | 'children' | 'style'> {
  /** 'strong' for the one thing to do here; 'plain' for words beside a thing. */
  readonly kind?: 'strong' | 'usual' | 'plain';
  /** Looks pressed in: the choice that stands. */
  readonly chosen?: boolean;
  readonly children: ReactNode;
}

/** A button with words. */
export function Button({ kind = 'usual', chosen = false, children, ...rest }: ButtonProps) {
  return (
    <AriaButton
      {...rest}
      className="button"
      data-kind={kind}
      {...(chosen && { 'data-chosen': true, 'aria-pressed': true })}
    >
      {children}
    </AriaButton>
  );
}
