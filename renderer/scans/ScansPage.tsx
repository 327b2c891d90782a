export default function ScansPage({ ink }: { readonly ink: number }) {
  return <p>Scans of ink {ink}</p>;
}
