"""The app on the own network: its addresses, and the certificates that let a phone trust it.

The authority is this machine's own. Its certificate is limited to addresses of private networks: a phone that trusts
it trusts it for nothing on the internet.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import ipaddress
import re
import socket
import ssl
from dataclasses import dataclass
from pathlib import Path

import trustme
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from setwright.basis.errors import BadInput
from setwright.web.private import keep, own_folder

PRIVATE = (
    "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "127.0.0.0/8", "fc00::/7", "fe80::/10",
    "::1/128",
)  # fmt: skip
NAMES = ("local", "localhost")
# Phones take no certificate of longer than 825 days; the one for an address is made anew at each start.
AUTHORITY_DAYS, RENEWED_BEFORE, LEAF_DAYS = 820, 60, 60
# Documentation address (RFC 5737): a connection to it is asked for and never made, to see which way would be taken.
AWAY = ("192.0.2.1", 9)


@dataclass(frozen=True)
class Authority:
    """The authority of this machine: its certificate and key (PEM), the fingerprint, and until when it stands."""

    certificate: bytes
    key: bytes
    until: dt.datetime

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the certificate in pairs, as phones show it."""
        whole = hashlib.sha256(self.file()).hexdigest().upper()
        return ":".join(whole[at : at + 2] for at in range(0, len(whole), 2))

    def file(self) -> bytes:
        """The certificate as a phone takes it (DER)."""
        return x509.load_pem_x509_certificate(self.certificate).public_bytes(serialization.Encoding.DER)

    def context(self, hosts: tuple[str, ...]) -> ssl.SSLContext:
        """What https is spoken with under these names and addresses."""
        issuer = trustme.CA.from_pem(self.certificate, self.key)
        until = min(dt.datetime.now(dt.UTC) + dt.timedelta(days=LEAF_DAYS), self.until)
        leaf = issuer.issue_cert(
            *hosts, common_name=hosts[0], organization_name="setwright", organization_unit_name="this machine",
            not_before=dt.datetime.now(dt.UTC) - dt.timedelta(days=1), not_after=until,
        )  # fmt: skip
        made = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        made.minimum_version = ssl.TLSVersion.TLSv1_2
        leaf.configure_cert(made)
        return made


def authority(folder: Path | None = None, now: dt.datetime | None = None) -> Authority:
    """The authority of this machine, made when there is none, or when the old one is about to end.

    Parameters
    ----------
    folder : Path, optional
        Private folder; the user's own otherwise.
    now : datetime, optional
        Present time.

    Raises
    ------
    BadInput
        When it cannot be kept, or what is kept cannot be read.
    """
    place = folder or own_folder("lan")
    moment = now or dt.datetime.now(dt.UTC)
    kept, key = place / "authority.pem", place / "authority-key.pem"
    if kept.exists() and key.exists():
        try:
            found = Authority(kept.read_bytes(), key.read_bytes(), _until(kept.read_bytes()))
            serialization.load_pem_private_key(found.key, password=None)
        except (OSError, ValueError):
            raise BadInput(
                "the certificates of this machine cannot be read", file=place, allowed="to take that folder away"
            ) from None
        if found.until - moment > dt.timedelta(days=RENEWED_BEFORE):
            return found
    made = _made(moment)
    keep(key, made.key)
    keep(kept, made.certificate)
    return made


def _until(certificate: bytes) -> dt.datetime:
    return x509.load_pem_x509_certificate(certificate).not_valid_after_utc


def _made(moment: dt.datetime) -> Authority:
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name(
        [
            x509.NameAttribute(NameOID.ORGANIZATION_NAME, "setwright"),
            x509.NameAttribute(NameOID.COMMON_NAME, f"setwright on this network, {moment:%Y-%m-%d}"),
        ]
    )
    until = moment.replace(microsecond=0) + dt.timedelta(days=AUTHORITY_DAYS)
    permitted: list[x509.GeneralName] = [x509.IPAddress(ipaddress.ip_network(one)) for one in PRIVATE]
    permitted += [x509.DNSName(one) for one in NAMES]
    use = {
        "digital_signature": False, "content_commitment": False, "key_encipherment": False,
        "data_encipherment": False, "key_agreement": False, "key_cert_sign": True, "crl_sign": True,
        "encipher_only": False, "decipher_only": False,
    }  # fmt: skip
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(moment - dt.timedelta(days=1))
        .not_valid_after(until)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(x509.NameConstraints(permitted_subtrees=permitted, excluded_subtrees=None), critical=True)
        .add_extension(x509.KeyUsage(**use), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    words = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    return Authority(made.public_bytes(serialization.Encoding.PEM), words, until)


def own_address(asked: str | None = None) -> str:
    """The address of this machine on its private network.

    Parameters
    ----------
    asked : str, optional
        An address to be used instead of the one found.

    Raises
    ------
    BadInput
        When there is none, or it is open to the internet.
    """
    found = asked or _found_address()
    try:
        address = ipaddress.IPv4Address(found)
        fine = any(address in ipaddress.ip_network(one) for one in PRIVATE if ":" not in one)
    except ValueError:
        raise BadInput("this is no address", field="--address", found=found, allowed="such as 192.168.1.20") from None
    if not fine:
        raise BadInput(
            "this address is not one of a private network", field="--address", found=found,
            allowed="10.…, 172.16.… to 172.31.…, 192.168.…",
        )  # fmt: skip
    return found


def _found_address() -> str:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        try:
            way.connect(AWAY)
            found = str(way.getsockname()[0])
        except OSError:
            found = ""
    if not found or found.startswith("127."):
        raise BadInput(
            "this machine is on no network that could be found", field="--address", allowed="its address, typed"
        )
    return found


def names_of(address: str) -> tuple[str, ...]:
    """Under which names the app answers on the network: the address, and the machine's own name there."""
    name = re.sub(r"\.local$", "", socket.gethostname().lower()).split(".")[0]
    return (address, f"{name}.local") if re.fullmatch(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?", name) else (address,)
