export default function FindingsPage({ ink }: { readonly ink: number }) {
  return <p>Findings of ink {ink}</p>;
}
