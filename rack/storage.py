"""Static files under names that carry their digest, so that a browser may keep them for good."""

from whitenoise.storage import CompressedManifestStaticFilesStorage


class HashedFiles(CompressedManifestStaticFilesStorage):
    """Rewrites `import ... from "./outbox.js";` to the hashed name too."""

    support_js_module_import_aggregation = True
