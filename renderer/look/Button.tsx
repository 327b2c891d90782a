import type { ComponentProps, ReactNode } from 'react';

export interface ButtonProps extends Omit<ComponentProps<'button'>, 'className' | 'style' | 'onClick' | 'disabled'> {
  /** 'strong' for the one thing to do here; 'plain' for words beside a thing. */
  readonly kind?: 'strong' | 'usual' | 'plain';
  /** Looks pressed in: the choice that stands. Left out: nothing that stays pressed. */
  readonly chosen?: boolean;
  readonly onPress?: () => void;
  readonly isDisabled?: boolean;
  readonly children: ReactNode;
}

/** A button with words. What presses it is its own: neither the page's keys nor what it lies in hear of it. */
export function Button({
  kind = 'usual',
  chosen,
  onPress,
  isDisabled = false,
  type = 'button',
  children,
  ...rest
}: ButtonProps) {
  return (
    <button
      {...rest}
      type={type}
      disabled={isDisabled}
      onClick={(event) => {
        event.stopPropagation();
        onPress?.();
      }}
      onKeyDown={(event) => {
        if (event.key === 'Enter' || event.key === ' ') event.stopPropagation();
      }}
      className="button"
      data-kind={kind}
      {...(chosen !== undefined && { 'aria-pressed': chosen })}
      {...(chosen && { 'data-chosen': true })}
    >
      {children}
    </button>
  );
}
